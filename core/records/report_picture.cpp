// The report's pictures.
#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "core/phrase.hpp"
#include "core/records/figure_text.hpp"
#include "core/records/report.hpp"
#include "core/records/svg.hpp"

namespace four76 {
namespace {

constexpr double kWidth = 640.0, kHeight = 170.0, kLeft = 56.0, kRight = 8.0, kTop = 10.0, kFoot = 24.0;
constexpr double kPlotWidth = kWidth - kLeft - kRight, kPlotHeight = kHeight - kTop - kFoot;
constexpr double kSpectrumFloor_db = -100.0;

struct Scale {
  double low = 0.0, high = 1.0;
  [[nodiscard]] double share(double value) const noexcept { return std::clamp((value - low) / (high - low), 0.0, 1.0); }
};
double x_of(const Scale& scale, double value) noexcept { return kLeft + kPlotWidth * scale.share(value); }
double y_of(const Scale& scale, double value) noexcept { return kTop + kPlotHeight * (1.0 - scale.share(value)); }

void across(Svg& svg, const Scale& scale, double value, Stroke stroke, const std::string& words) {
  const double y = y_of(scale, value);
  const std::array<SvgPoint, 2> ends{{{kLeft, y}, {kWidth - kRight, y}}};
  svg.line(ends, stroke);
  svg.text({kLeft - 4.0, y + 4.0}, words, 2);
}

std::string percent(double value) {
  std::string text = value < 0.0 ? "\u2212" : value > 0.0 ? "+" : "";
  return text + rounded(std::abs(value), 2) + " %";
}

}  // namespace

std::string ribbon_svg(const Measurement& measurement) {
  const auto& course = measurement.course_percent;
  const double tolerance = measurement.tolerance_percent;
  double reach = 2.0 * tolerance;
  std::size_t known = 0;
  for (const auto& each : course) {
    if (!each) continue;
    reach = std::max(reach, 1.1 * std::abs(*each));
    ++known;
  }
  if (known < 2) return "";
  const Scale y{-reach, reach}, x{0.0, static_cast<double>(course.size() - 1)};
  Svg svg(kWidth, kHeight, tr("The speed over the measurement, with the tolerance as the edges of a tape"));
  svg.rectangle({kLeft, y_of(y, tolerance)}, kPlotWidth, y_of(y, -tolerance) - y_of(y, tolerance), "#eee");
  across(svg, y, tolerance, Stroke::dashed, percent(tolerance));
  across(svg, y, 0.0, Stroke::faint, "0");
  across(svg, y, -tolerance, Stroke::dashed, percent(-tolerance));
  std::vector<SvgPoint> run;
  for (std::size_t i = 0; i <= course.size(); ++i) {
    if (i < course.size() && course[i]) {
      run.push_back({x_of(x, static_cast<double>(i)), y_of(y, *course[i])});
      continue;
    }
    svg.line(run, Stroke::thick);  // a gap stays a gap
    run.clear();
  }
  const double seconds = measurement.course_step_s * static_cast<double>(course.size());
  svg.text({kLeft, kHeight - 8.0}, "0 s");
  svg.text({kWidth - kRight, kHeight - 8.0}, rounded(seconds, 2) + " s", 2);
  return svg.finish();
}

std::string spectrum_svg(const Measurement& measurement) {
  const auto& level = measurement.spectrum_dbfs;
  if (level.size() < 2 || !(measurement.spectrum_bin_hz > 0.0)) return "";
  const double first = measurement.spectrum_first_hz;
  const double last = first + measurement.spectrum_bin_hz * static_cast<double>(level.size() - 1);
  const Scale y{kSpectrumFloor_db, 0.0}, x{first, last};
  Svg svg(kWidth, kHeight, tr("The spectrum of what was heard, with the tone marked"));
  for (const double db : {-20.0, -60.0, -100.0}) across(svg, y, db, Stroke::faint, rounded(db, 3) + " dB");
  std::vector<SvgPoint> points;
  for (std::size_t i = 0; i < level.size(); ++i)
    points.push_back({x_of(x, first + measurement.spectrum_bin_hz * static_cast<double>(i)), y_of(y, level[i])});
  svg.line(points, Stroke::thin);
  const double tone = measurement.nominal_hz;
  if (tone >= first && tone <= last) {
    const std::array<SvgPoint, 2> mark{{{x_of(x, tone), kTop}, {x_of(x, tone), kTop + kPlotHeight}}};
    svg.line(mark, Stroke::dashed);
    svg.text({x_of(x, tone) + 4.0, kTop + 10.0}, rounded(tone, 4) + " Hz");
  }
  svg.text({kLeft, kHeight - 8.0}, rounded(first, 3) + " Hz");
  svg.text({kWidth - kRight, kHeight - 8.0}, rounded(last, 3) + " Hz", 2);
  return svg.finish();
}

}  // namespace four76
