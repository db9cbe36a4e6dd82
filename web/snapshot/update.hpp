// The snapshot's part of update: which channel is shown, and how many digits.
#pragma once

#include "web/model.hpp"
#include "web/snapshot/snapshot.hpp"

namespace four76 {

// A snapshot into the model by exchange, and how many digits that supports.
void show_snapshot(Model& model, Snapshot& fresh);

// Every reading of the dial on show that is newer than `taken_s`, which moves up with them.
template <class Take>
void each_new_reading(const ChannelSnapshot& channel, double& taken_s, Take&& take) {
  Reading reading;
  reading.noise_u95_percent = channel.dial.noise_u95_percent;
  for (const TrailPoint& point : channel.trail) {
    if (point.time_s <= taken_s) continue;
    taken_s = point.time_s;
    reading.time_s = point.time_s;
    reading.status = point.status;
    reading.speed_error_percent = point.speed_error_percent;
    reading.u95_percent = point.u95_percent;
    take(reading);
  }
}

}  // namespace four76
