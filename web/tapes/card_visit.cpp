#include "web/tapes/card_visit.hpp"

namespace four76 {

bool carries(std::span<const TapeFindings> tapes, EvidenceKind kind) {
  constexpr double kMoreLikelyThanNot = 0.5;
  for (const TapeFindings& tape : tapes)
    for (const Evidence& each : tape.evidence)
      if (each.kind == kind && each.on_tape_probability > kMoreLikelyThanNot) return true;
  return false;
}

std::optional<Measurement> tapes_visit(const TapesOnShow& shown) {
  const SpeedAnswer answer = answer_of(shown);
  if (answer.status != TapeStatus::measured || shown.drawer.tapes.empty()) return std::nullopt;
  const std::vector<TapeFindings> all = all_findings(shown);
  TapesEvidence evidence;
  evidence.tapes = 0;
  Measurement visit;
  visit.source = VisitSource::tapes;
  visit.tolerance_percent = shown.tolerance_percent;
  for (const TapeFindings& each : all) {
    if (each.evidence.empty()) continue;
    ++evidence.tapes;
    visit.seconds += each.heard_s;
  }
  evidence.speed_error_percent = answer.candidates.front().speed_error_percent;
  evidence.u95_percent = answer.candidates.front().u95_percent;
  if (carries(all, EvidenceKind::concert_pitch)) evidence.concert_a_hz = shown.drawer.tuning.concert_a_hz;
  evidence.line_scan = carries(all, EvidenceKind::line_scan);
  evidence.mains_hum = carries(all, EvidenceKind::mains_hum);
  evidence.sounds_like = shown.drawer.sounds_like;
  visit.by_tapes = evidence;
  return visit;
}

}  // namespace four76
