#include "tests/bench/bound_picture.hpp"

#include <cmath>

#include "core/signal/uncertainty.hpp"
#include "tests/bench/plot.hpp"

namespace four76::bench {

namespace {

Axis length_axis() {
  return {.label = "length of the sound, s",
          .from = 0.4,
          .to = 40.0,
          .ticks = {kLengthsS.begin(), kLengthsS.end()},
          .logarithmic = true};
}

double bound_mhz(double dbhz, double seconds) {
  return 1000.0 * cramer_rao_sigma_hz(std::pow(10.0, dbhz / 10.0), seconds);
}

void draw_errors(SvgWriter& svg, const BoundTable& table) {
  const Frame frame{80.0, 104.0, 360.0, 370.0};
  const Axis lengths = length_axis();
  Plot plot(svg, frame, lengths,
            {.label = "RMS error, mHz",
             .from = 0.0001,
             .to = 100.0,
             .ticks = {0.0001, 0.001, 0.01, 0.1, 1.0, 10.0, 100.0},
             .logarithmic = true});
  for (std::size_t i = 0; i < kLevelsDbhz.size(); ++i) {
    Points bound;
    for (const double seconds : {lengths.from, lengths.to})
      bound.emplace_back(seconds, bound_mhz(kLevelsDbhz[i], seconds));
    plot.curve(bound, "thin " + colour_of(i));
    for (std::size_t j = 0; j < kLengthsS.size(); ++j)
      plot.mark(mark_of(i), kLengthsS[j], 1000.0 * table[i][j].rms_hz, colour_of(i));
    svg.text(frame.left + frame.width + 8.0, plot.y_of(bound.back().second) + 5.0, decimal(kLevelsDbhz[i]) + " dB-Hz");
  }
}

void draw_ratios(SvgWriter& svg, const BoundTable& table, int trials) {
  const Axis lengths = length_axis();
  Plot plot(svg, {580.0, 104.0, 290.0, 370.0}, lengths,
            {.label = "RMS error / bound", .from = 0.7, .to = 1.4, .ticks = {0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4}});
  const double chance = 1.96 / std::sqrt(2.0 * trials);
  plot.area({{lengths.from, 1.0 + chance}, {lengths.to, 1.0 + chance}},
            {{lengths.from, 1.0 - chance}, {lengths.to, 1.0 - chance}});
  plot.curve({{lengths.from, 1.0}, {lengths.to, 1.0}}, "dashed dim");
  // Beside each other, or six marks would lie on one another.
  const double half = 0.5 * static_cast<double>(kLevelsDbhz.size() - 1);
  for (std::size_t i = 0; i < kLevelsDbhz.size(); ++i)
    for (std::size_t j = 0; j < kLengthsS.size(); ++j)
      plot.mark(mark_of(i), kLengthsS[j] * std::pow(1.07, static_cast<double>(i) - half), table[i][j].of_whole,
                colour_of(i));
}

}  // namespace

std::string bound_picture(const BoundTable& table, int trials) {
  SvgWriter svg = picture(900.0, 540.0, "How near to the least error that is possible?",
                          "Lines: the Cramer-Rao bound for all of the sound. Marks: Four76, one kind a C/N0. "
                          "Grey: what chance alone allows.",
                          "RMS error of the mean frequency in millihertz against the length of the sound, at six "
                          "ratios of carrier to noise density, and the same over the Cramer-Rao bound.");
  draw_errors(svg, table);
  draw_ratios(svg, table, trials);
  return svg.finish();
}

}  // namespace four76::bench
