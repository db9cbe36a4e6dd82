// Intents: what the person asks for, from a view or an HTML control, and what the page reports of itself. Plain data;
// each feature's stand in its intents.hpp.
#pragma once

#include <variant>
#include <vector>

#include "web/clock/intents.hpp"
#include "web/coach/intents.hpp"
#include "web/flutter/causes/intents.hpp"
#include "web/flutter/intents.hpp"
#include "web/friend/intents.hpp"
#include "web/machine/intents.hpp"
#include "web/place/intents.hpp"
#include "web/run/intents.hpp"
#include "web/song/intents.hpp"
#include "web/tone/intents.hpp"

namespace four76 {

using Intent = std::variant<RunIntent, PlaceIntent, ToneIntent, ClockIntent, MachineIntent, CoachIntent, FriendIntent,
                            FlutterIntent, CausesIntent, SongIntent>;
using Intents = std::vector<Intent>;

}  // namespace four76
