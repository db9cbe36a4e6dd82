// update: the one place that changes the model. It knows no browser and no clock: what is to be done outside comes back
// as effects, plain data that main carries out in order.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "web/effect.hpp"
#include "web/intent.hpp"
#include "web/model.hpp"

namespace four76 {

Effects update(Model& model, const Intent& intent);
Effects update(Model& model, const browser::Event& event);
// A new snapshot, taken into the model by exchange: `fresh` gets the old one's memory to fill next time.
Effects accept_snapshot(Model& model, Snapshot& fresh);

// Likewise what a SongSession says: its dial and calm reading in the first channel.
Effects accept_song(Model& model, Snapshot& fresh, SongState state, std::optional<double> position_s);

// The settings kept on this device; a value that cannot be read is left at its default.
void restore_settings(Model& model, const std::function<std::optional<std::string>(std::string_view key)>& load);

}  // namespace four76
