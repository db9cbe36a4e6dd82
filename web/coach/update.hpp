// The job's part of update: the demo's machine; the coach hears every reading of the dial, and of the person that they
// have turned.
#pragma once

#include <optional>

#include "web/coach/intents.hpp"
#include "web/effect.hpp"
#include "web/model.hpp"
#include "web/platform/browser.hpp"

namespace four76 {

Effects start_demo(Model& model);
Effects set_trimmer(Model& model, double percent);  // of the demo
void restart_coach(Model& model);
void leave_demo(Model& model);
// After each new snapshot.
void advance_coach(Model& model);
void advance_watch(Model& model);
void interrupt_watch(Model& model, browser::Interruption what);
Effects turned_screw(Model& model, const intent::TurnedScrew& turned);
Effects know_screw(Model& model, std::optional<bool> clockwise_is_faster);

}  // namespace four76
