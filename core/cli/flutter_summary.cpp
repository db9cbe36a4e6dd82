#include "core/cli/flutter_summary.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <vector>

#include "core/flutter/standards.hpp"
#include "core/records/cause_text.hpp"
#include "core/records/figure_text.hpp"
#include "core/records/verdict_text.hpp"

namespace four76::cli {
namespace {

constexpr std::size_t kMostRates = 6;

std::string amount(const std::optional<FlutterFigure>& figure) {
  if (!figure) return "not told";
  if (figure->percent) return rounded(*figure->percent, 2) + " %";
  return figure->least_percent ? "under " + rounded(*figure->least_percent, 2) + " %" : "not told";
}

// The strictest that is met, and the mildest that is not.
std::string judgement(const FlutterFigure& weighted) {
  if (const auto met = strictest_met(weighted)) return judgement_text(*met, Judgement::meets);
  return judgement_text(Standard::portable_usual, judge_weighted(Standard::portable_usual, weighted));
}

// `judged` where the reading may be held against a standard: nothing is said for a tape that is in doubt.
std::string of_figures(const FlutterReading& flutter, bool judged) {
  if (!flutter.weighted_two_sigma) return "";
  const FlutterFigure& weighted = *flutter.weighted_two_sigma;
  std::string text =
      summary_line("wow, flutter", amount(weighted) + " weighted, 2-sigma; " + amount(flutter.weighted_quasi_peak) +
                                       " quasi-peak, " + amount(flutter.weighted_rms) + " RMS");
  text += summary_line(
      "", amount(flutter.unweighted_two_sigma) + " unweighted, 2-sigma; " + amount(flutter.unweighted_rms) + " RMS");
  text += summary_line("", "wow (below 10 Hz) " + amount(flutter.wow_two_sigma) + ", flutter (above) " +
                               amount(flutter.flutter_two_sigma));
  if (judged) text += summary_line("", judgement(weighted));
  if (weighted.noise_percent)
    text += summary_line("", weighted.below_noise ? "below what can be told here: a perfect tone would read " +
                                                        rounded(*weighted.noise_percent, 2) + " % weighted"
                                                  : "a perfect tone would read " + rounded(*weighted.noise_percent, 2) +
                                                        " % weighted in this noise, which is taken out");
  return text;
}

std::string of_drift(const std::optional<Drift>& drift) {
  if (!drift) return "";
  const double slope = drift->percent_per_minute, u95 = drift->u95_percent_per_minute;
  const std::string sign = slope < 0.0 ? "-" : "+";
  return summary_line("drift", std::abs(slope) > u95
                                   ? sign + rounded(std::abs(slope), 2) + " \u00b1 " + rounded(u95, 2) + " % a minute"
                                   : "under " + rounded(std::abs(slope) + u95, 2) + " % a minute");
}

std::string of_rates(const std::vector<FlutterPeak>& peaks) {
  std::string text;
  for (std::size_t i = 0; i < std::min(peaks.size(), kMostRates); ++i) {
    const FlutterPeak& peak = peaks[i];
    text += (text.empty() ? "" : "; ") + rounded(peak.rate_hz, 3) + " Hz " + rounded(peak.peak_percent, 2) + " %";
    if (peak.moving) text += peak.change_hz_per_minute > 0.0 ? " (rising)" : " (falling)";
    if (peak.foreign) text += " (a line beside the tone, not the machine)";
  }
  return text.empty() ? "" : summary_line("rates", text);
}

std::string of_causes(const Causes& causes) {
  std::string text;
  for (const Cause& cause : causes.list)
    text += summary_line(text.empty() ? "from" : "", cause_title(cause) + " (" + std::string(words_of(cause.sureness)) +
                                                         "). " + cause_evidence(cause));
  int number = 0;
  for (const std::string& step : work_steps(causes))
    text += summary_line(number == 0 ? "to do" : "", std::to_string(number + 1) + ". " + step), ++number;
  return text;
}

}  // namespace

std::string summary_line(std::string_view label, std::string_view text) {
  constexpr std::size_t kTextColumn = 15;
  std::string all(2, ' ');
  all += label;
  all.resize(kTextColumn, ' ');
  return all.append(text) + '\n';
}

std::string flutter_summary(const ChannelReading& channel) {
  const bool judged = channel.causes.thin != Thin::not_measured;
  std::string text =
      of_figures(channel.flutter, judged) + of_drift(channel.flutter.drift) + of_rates(channel.components);
  for (const Verdict& verdict : channel.verdicts)
    text += summary_line(&verdict == channel.verdicts.begin() ? "verdict" : "",
                         verdict_text(verdict) + " (" + verdict_rule_text(verdict) + ')');
  if (!text.empty() && channel.causes.list.empty() && channel.causes.thin)
    text += summary_line("cause", thin_text(*channel.causes.thin));
  return text + of_causes(channel.causes);
}

}  // namespace four76::cli
