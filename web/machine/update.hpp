// The measurement's part of update: a timed run at one place of the tape.
#pragma once

#include "web/effect.hpp"
#include "web/model.hpp"

namespace four76 {

Effects measure(Model& model);
Effects measure_visit(Model& model, VisitStage stage);
Effects choose_place(Model& model, TapePlace place);
Effects choose_visit_seconds(Model& model, double seconds);
Effects forget_measured(Model& model);
// After each new snapshot.
Effects advance_measurement(Model& model);

}  // namespace four76
