#include "core/records/tapes_text.hpp"

#include <cmath>

#include "core/phrase.hpp"
#include "core/records/figure_text.hpp"

namespace four76 {
namespace {

constexpr int kMostDecimals = 3;
constexpr double kUsualA_hz = 440.0;  // ISO 16

std::string basis_of(const TapesEvidence& evidence) {
  std::string text;
  const auto add = [&text](const std::string& what) { text += (text.empty() ? "" : ", ") + what; };
  if (evidence.concert_a_hz == kUsualA_hz)
    add(say("as most music is tuned"));
  else if (evidence.concert_a_hz)
    add(say("tuned to A = {0}", rounded(*evidence.concert_a_hz, 3) + " Hz"));
  if (evidence.line_scan) add(say("a television's whistle"));
  if (evidence.mains_hum) add(say("mains hum on the tape"));
  return text;
}

}  // namespace

TapeFigure tape_figure(double percent, double u95_percent) {
  const int decimals = two_digit_decimals(u95_percent, kMostDecimals);
  return {signed_fixed_text(percent, decimals), plus_minus_text(u95_percent, decimals)};
}

std::string tapes_text(const TapesEvidence& evidence) {
  const auto [number, plus_minus] = tape_figure(evidence.speed_error_percent, evidence.u95_percent);
  const std::string speed = number + ' ' + plus_minus + " %", basis = basis_of(evidence);
  const std::string text = evidence.tapes == 1 ? say("By one tape: {0}", speed)
                                               : say("By {0} tapes: {1}", std::to_string(evidence.tapes), speed);
  return basis.empty() ? text : text + " (" + basis + ')';
}

std::string newest_tapes_text(std::span<const Measurement> visits) {
  const TapesEvidence* told = nullptr;
  std::optional<VisitSpeed> measured;
  for (const Measurement& visit : visits) {
    if (visit.by_tapes) told = &*visit.by_tapes;
    if (const auto speed = speed_of(visit)) measured = speed;
  }
  if (!told) return "";
  const std::string text = tapes_text(*told);
  if (!measured) return text + '.';
  const double apart = std::abs(told->speed_error_percent - measured->percent);
  if (apart <= std::hypot(told->u95_percent, measured->u95_percent))
    return say("{0}. What was measured last agrees with it.", text);
  return say(
      "{0}. What was measured last does not agree: the speed was changed in between, or they are tuned otherwise.",
      text);
}

}  // namespace four76
