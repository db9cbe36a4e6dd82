// The measurement's part of words: half a minute at either end of the tape.
#include <algorithm>
#include <cmath>

#include "web/words.hpp"

namespace four76::words {
namespace {

std::string line_of(TapeEnd end, const TapeMeasurement& made) {
  std::string line = std::string(tape_end_name(end)) + ": " + speed_error(made.whole) + " " +
                     uncertainty(made.whole, Unit::percent) + " of " + hertz(made.nominal_hz);
  line += ", weighted flutter " + flutter_amount(made.flutter.weighted_two_sigma);
  line += ", drift " + drift_amount(made.flutter.drift);
  return line + ", " + fixed(made.whole.trusted_s, 0) + " s";
}

}  // namespace

std::string_view tape_end_name(TapeEnd end) noexcept { return end == TapeEnd::end ? "End of tape" : "Start of tape"; }

std::string_view measure_name(const Model& model) noexcept { return measures(model) ? "Break off" : "Measure 30 s"; }

std::string measure_invitation() {
  return "Measure at the start of the tape, wind on, and measure at its end: a tired motor or belt shows between them.";
}

std::string measure_said(const Model& model) {
  if (!model.measure_run) return "";
  const MeasureRun& run = *model.measure_run;
  if (run.stage == MeasureRun::Stage::refused) {
    std::string said = "No reading that can be trusted came out.";
    if (!run.reasons.empty()) said.append(" ").append(advice(*run.reasons.begin(), model).what);
    return said;
  }
  const std::string heard = fixed(std::floor(run.heard_s), 0) + " of " + fixed(kMeasureS, 0) + " s of tone heard";
  if (run.lost) return "The tone is lost: it goes on when it is back. " + heard + ".";
  if (run.losses == 0) return heard + ".";
  return heard + "; the tone was lost " + (run.losses == 1 ? "once." : fixed(run.losses, 0) + " times.");
}

std::vector<std::string> measured(const Model& model) {
  std::vector<std::string> lines;
  for (const TapeEnd end : {TapeEnd::start, TapeEnd::end})
    if (const auto& made = model.measured[end == TapeEnd::end ? 1 : 0]) lines.push_back(line_of(end, *made));
  return lines;
}

std::string measured_difference(const Model& model) {
  const auto& [start, end] = model.measured;
  if (!start || !end || start->nominal_hz != end->nominal_hz) return "";
  const double apart = *end->whole.speed_error_percent - *start->whole.speed_error_percent;
  const double u95 = std::hypot(*end->whole.u95_percent, *start->whole.u95_percent);
  const int decimals = std::max(1, supported_decimals(u95, 3));
  if (std::fabs(apart) <= u95) return "Both ends run alike, within " + plus_minus(u95, decimals) + " %.";
  return "At its end the tape runs " + fixed(std::fabs(apart), decimals) + " % " + (apart > 0.0 ? "faster" : "slower") +
         " than at its start, " + plus_minus(u95, decimals) + " %.";
}

}  // namespace four76::words
