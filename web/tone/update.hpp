// The settings' part of update: chosen, typed or come with a link.
#pragma once

#include <optional>
#include <string>

#include "web/effect.hpp"
#include "web/model.hpp"
#include "web/platform/browser.hpp"

namespace four76 {

Effects choose_tone(Model& model, double hz);
Effects sure_of_tone(Model& model);
Effects choose_near(Model& model, double hz);
Effects choose_tolerance(Model& model, double percent);
Effects choose_tape_tolerance(Model& model, std::optional<double> percent);
Effects choose_unit(Model& model, Unit unit);
Effects choose_channel(Model& model, ChannelChoice channel);
Effects choose_trace(Model& model, Trace trace);
Effects choose_device(Model& model, std::string id);
Effects ask_tone(const Model& model);
Effects ask_tolerance(const Model& model);
Effects ask_tape_tolerance(const Model& model);
Effects number_entered(Model& model, const browser::NumberEntered& entered);

}  // namespace four76
