#include "tests/scenes/tape_wow.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "core/signal/statistics.hpp"

namespace four76::scenes {
namespace {

// 0 of nothing: no promise holds of it.
double median_or_zero(std::vector<double> values) { return values.empty() ? 0.0 : median_of(values); }

std::string print(const char* format, auto... values) {
  char text[160];
  std::snprintf(text, sizeof text, format, values...);
  return text;
}

void count_steady(WowFigures& figures, const TapeFindings& findings) {
  ++figures.steady;
  figures.steady_known += findings.relative_wow_u95_percent ? 1 : 0;
  figures.steady_rates += findings.wow_rate_hz ? 1 : 0;
}

void count_line(WowFigures& figures, const Sinusoid& line, const TapeFindings& findings) {
  ++figures.lines;
  const double truth = line.peak_percent / std::numbers::sqrt2;
  if (findings.wow_rate_hz) {
    ++figures.rates;
    figures.errors.push_back((*findings.wow_rate_hz - line.rate_hz) / *findings.wow_rate_u95_hz);
    figures.rates_held += std::abs(figures.errors.back()) <= 1.0 ? 1 : 0;
  }
  if (!findings.relative_wow_rms_percent) return;
  const double read = *findings.relative_wow_rms_percent;
  if (!findings.relative_wow_u95_percent) {
    ++figures.at_least;
    figures.at_least_held += read <= truth ? 1 : 0;
    return;
  }
  ++figures.known;
  figures.held += std::abs(read - truth) <= *findings.relative_wow_u95_percent ? 1 : 0;
  figures.ratios.push_back(read / truth);
  const auto band = std::find_if(figures.bands.begin(), figures.bands.end() - 1,
                                 [&](const auto& one) { return line.rate_hz <= one.up_to_hz; });
  band->ratios.push_back(read / truth);
}

}  // namespace

std::vector<Sinusoid> one_line_of_wow(std::mt19937_64& random) {
  std::uniform_real_distribution<> unit;
  const double rate_hz = 0.4 * std::pow(2.5 / 0.4, unit(random));
  const double rms_percent = 0.1 * std::pow(4.0, unit(random));
  const double phase = 2.0 * std::numbers::pi * unit(random);
  return {{.rate_hz = rate_hz, .peak_percent = std::numbers::sqrt2 * rms_percent, .phase = phase}};
}

WowFigures count_wow(std::span<const WowTape> tapes) {
  WowFigures figures;
  for (const WowTape& tape : tapes)
    if (tape.wow.empty())
      count_steady(figures, tape.findings);
    else
      count_line(figures, tape.wow.front(), tape.findings);
  return figures;
}

std::vector<std::pair<std::string, std::string>> wow_rows(const WowFigures& figures) {
  std::vector<std::pair<std::string, std::string>> rows;
  rows.emplace_back(
      "a line of wow, 0.1 to 0.4 % RMS at 0.4 to 2.5 Hz: known; at least so much; not said",
      print("%d; %d; %d", figures.known, figures.at_least, figures.lines - figures.known - figures.at_least));
  double from_hz = 0.4;
  for (const auto& band : figures.bands) {
    rows.emplace_back(
        print("where known, %.1f to %.1f Hz: read over the truth, median", from_hz, band.up_to_hz),
        band.ratios.empty() ? "none" : print("%.2f of %zu", median_or_zero(band.ratios), band.ratios.size()));
    from_hz = band.up_to_hz;
  }
  rows.emplace_back("where known: the truth within the ±", print("%d of %d", figures.held, figures.known));
  rows.emplace_back("at least so much: the truth is as much",
                    print("%d of %d", figures.at_least_held, figures.at_least));
  rows.emplace_back("its rate: told; within its ±",
                    print("%d of %d; %d", figures.rates, figures.lines, figures.rates_held));
  rows.emplace_back("steady tapes that are given a rate; a wow that is known",
                    print("%d of %d; %d", figures.steady_rates, figures.steady, figures.steady_known));
  return rows;
}

void promise_wow(Promises& promises, const WowFigures& figures) {
  const double ratio = median_or_zero(figures.ratios);
  promises.keep(std::abs(ratio - 1.0) <= 0.1, "wow of a line reads within 10 %% in the median (%.2f)", ratio);
  promises.keep(figures.held >= least_held(figures.known), "wow: the ± holds in %d of %d", figures.held, figures.known);
  promises.keep(figures.at_least_held >= least_held(figures.at_least), "wow: the least value holds in %d of %d",
                figures.at_least_held, figures.at_least);
  promises.keep(figures.rates_held >= least_held(figures.rates), "the rate of wow: the ± holds in %d of %d",
                figures.rates_held, figures.rates);
  const int most = (figures.steady + 99) / 100;
  promises.keep(figures.steady_rates <= most, "steady tapes: a rate in %d of %d, in each hundred once at most",
                figures.steady_rates, figures.steady);
}

}  // namespace four76::scenes
