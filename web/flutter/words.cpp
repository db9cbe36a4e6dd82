#include "web/flutter/words.hpp"

#include <algorithm>
#include <cmath>

#include "core/phrase.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {
namespace {

std::string bare(double percent, std::optional<double> u95) {
  return fixed(percent, u95 ? std::max(1, supported_decimals(*u95, 3)) : 2);
}

// Two digits, rounded up and never understated: "0.012 %".
std::string at_most(double percent) {
  const int decimals = percent >= 10.0 ? 0 : percent >= 1.0 ? 1 : percent >= 0.1 ? 2 : percent >= 0.01 ? 3 : 4;
  return plus_minus(percent, decimals).substr(2) + " %";
}

std::string below_noise(const FlutterFigure& figure) {
  if (!figure.least_percent) return say("below what can be told here");
  return say("below what can be told here (under {0})", at_most(*figure.least_percent));
}

}  // namespace

std::string flutter_amount(const std::optional<FlutterFigure>& figure) {
  if (!figure) return say("none##figure");
  if (!figure->percent) return below_noise(*figure);
  return bare(*figure->percent, figure->u95_percent) + " %";
}

std::string drift_amount(const std::optional<Drift>& drift) {
  if (!drift) return say("none##drift");
  const double size = std::fabs(drift->percent_per_minute), u95 = drift->u95_percent_per_minute;
  if (size <= u95) return say("under {0} a minute", at_most(size + u95));
  const int decimals = std::max(1, supported_decimals(u95, 3));
  return say("{0} a minute",
             signed_fixed(drift->percent_per_minute, decimals) + " " + plus_minus(u95, decimals) + " %");
}

std::string noise_floor(const FlutterReading& all) {
  if (!all.weighted_two_sigma || !all.weighted_two_sigma->noise_percent) return say("not known");
  return at_most(*all.weighted_two_sigma->noise_percent);
}

std::optional<Figure> flutter_figure(const Model& model) {
  const FlutterReading* const all = shown_flutter(model);
  if (!all || !all->weighted_two_sigma || !all->weighted_two_sigma->percent) return std::nullopt;
  return Figure{bare(*all->weighted_two_sigma->percent, all->weighted_two_sigma->u95_percent), "%"};
}

std::string flutter_state(const Model& model) {
  const FlutterReading* const all = shown_flutter(model);
  if (all && all->weighted_two_sigma) return all->weighted_two_sigma->percent ? "" : say("Below what can be told here");
  const Reading* const reading = shown_reading(model);
  if (is_file(model)) return say("No figure: 5 s of tone needed");
  return reading && reading->status == Status::no_tone ? say("No tone") : say("Listening: 5 s of tone needed");
}

std::string flutter_title(const Model& model) {
  return is_file(model) ? say("Weighted, 2-sigma, over all of it") : say("Weighted, 2-sigma, over the last 10 s");
}

std::vector<BudgetLine> flutter_lines(const Model& model) {
  const FlutterReading* const all = shown_flutter(model);
  const FlutterReading& shown = all ? *all : FlutterReading{};
  return {{say("Unweighted"), flutter_amount(shown.unweighted_two_sigma), ""},
          {say("Quasi-peak, weighted"), flutter_amount(shown.weighted_quasi_peak), ""},
          {say("Wow, below 10 Hz"), flutter_amount(shown.wow_two_sigma), ""},
          {say("Flutter, above"), flutter_amount(shown.flutter_two_sigma), ""},
          {say("Drift"), drift_amount(shown.drift), ""}};
}

std::string flutter_noise(const Model& model) {
  const FlutterReading* const all = shown_flutter(model);
  if (!all || !all->weighted_two_sigma) return "";
  const FlutterFigure& weighted = *all->weighted_two_sigma;
  if (!weighted.noise_percent) return say("How much of it is noise is not known.");
  if (!weighted.percent && weighted.least_percent)
    return say("Under {0}. A perfect tape would read {1} in this noise.", at_most(*weighted.least_percent),
               at_most(*weighted.noise_percent));
  return say("A perfect tape would read {0} in this noise: that is taken out.", at_most(*weighted.noise_percent));
}

std::string rate_name(const FlutterPeak& peak) {
  return fixed(peak.rate_hz, peak.rate_hz >= 100.0 ? 0 : peak.rate_hz >= 3.0 ? 1 : 2) + " Hz";
}

std::string peak_name(const FlutterPeak& peak) {
  return rate_name(peak) + ", " + fixed(peak.peak_percent, peak.peak_percent < 0.01 ? 3 : 2) + " %";
}

std::string rates_title(const Model& model) {
  const ChannelSnapshot* const channel = shown_channel(model);
  const double span_s = channel ? channel->flutter_picture.span_s : 0.0;
  const std::string title = say("Speed variation by rate");
  return span_s > 0.0 ? title + ", " + fixed(span_s, 0) + " s" : title;
}

std::string_view rates_state(const Model& model) noexcept {
  return is_file(model) ? tr("4 s of tone are needed") : tr("listening: 4 s of tone needed");
}

std::string components(std::span<const FlutterPeak> peaks) {
  std::string all;
  for (const FlutterPeak& peak : peaks) {
    all += (all.empty() ? "" : "; ") + peak_name(peak);
    if (peak.foreign) all += ", " + say("not the tape");
    if (peak.moving) all += ", " + say("moving");
  }
  return all.empty() ? say("none##components") : all;
}

std::string_view way_to_flutter() noexcept { return tr("Wow and flutter \u2192"); }
std::string_view way_to_speed() noexcept { return tr("\u2190 Speed"); }

}  // namespace four76::words
