// CardVisit: what the page has measured, as a visit that a card can keep (core/bench/visit).
#pragma once

#include "core/bench/visit.hpp"
#include "web/model.hpp"

namespace four76 {

// A timed run that is over: every channel that is listened to, the shown one first where only one is.
[[nodiscard]] Measurement timed_visit(const Model& model, const MeasureRun& run);
// What stands there without one: all of a file, or what a song has said so far.
[[nodiscard]] Measurement shown_visit(const Model& model, VisitStage stage);

}  // namespace four76
