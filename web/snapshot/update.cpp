#include "web/snapshot/update.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "web/clock/update.hpp"
#include "web/coach/update.hpp"
#include "web/flutter/causes/update.hpp"
#include "web/friend/update.hpp"
#include "web/machine/update.hpp"
#include "web/run/update.hpp"
#include "web/update.hpp"
#include "web/words/numbers.hpp"

namespace four76 {
namespace {

int rank(Status status) { return static_cast<int>(status); }  // no_tone < unreliable < measured

// The better of two channels, but only where it is clearly better: the figure must not hop between them.
int better_channel(const Snapshot& snapshot, int shown) {
  const Reading& mine = snapshot.channel[static_cast<std::size_t>(shown)].calm;
  const Reading& other = snapshot.channel[static_cast<std::size_t>(1 - shown)].calm;
  if (rank(other.status) != rank(mine.status)) return rank(other.status) > rank(mine.status) ? 1 - shown : shown;
  const bool clearly = other.u95_percent && mine.u95_percent && *other.u95_percent * 1.5 < *mine.u95_percent;
  return clearly ? 1 - shown : shown;
}

int channel_to_show(const Model& model, const Snapshot& snapshot) {
  if (snapshot.channels < 2) return 0;
  switch (model.settings.channel) {
    case ChannelChoice::left: return 0;
    case ChannelChoice::right: return 1;
    case ChannelChoice::both: return better_channel(snapshot, std::clamp(model.shown_channel, 0, 1));
  }
  return 0;
}

// Beyond their joint uncertainty and so much two channels of one tape do not agree.
constexpr double kAgreePercent = 0.05;

// While live, the calm readings are compared: they cost nothing, and follow what the person does.
std::optional<bool> calm_agree(const Snapshot& snapshot) {
  if (snapshot.channels != 2) return std::nullopt;
  const Reading &left = snapshot.channel[0].calm, &right = snapshot.channel[1].calm;
  if (left.status != Status::measured || right.status != Status::measured) return std::nullopt;
  if (!left.speed_error_percent || !right.speed_error_percent || !left.u95_percent || !right.u95_percent)
    return std::nullopt;
  const double apart = std::fabs(*left.speed_error_percent - *right.speed_error_percent);
  return apart <= std::hypot(*left.u95_percent, *right.u95_percent) + kAgreePercent;
}

// A digit goes at once when the uncertainty no longer supports it, and comes back only with something to spare.
int steadied_decimals(const Model& model, int present) {
  const Reading* reading = shown_reading(model);
  if (!reading || !reading->u95_percent) return present;
  const int most = is_file(model) ? 3 : 2;
  const int supported = words::supported_decimals(*reading->u95_percent, most);
  if (supported <= present) return supported;
  return std::max(present, words::supported_decimals(1.3 * *reading->u95_percent, most));
}

}  // namespace

void show_snapshot(Model& model, Snapshot& fresh) {
  if (!model.snapshot) model.snapshot.emplace();
  std::swap(*model.snapshot, fresh);
  model.figure_decimals = steadied_decimals(model, model.figure_decimals);
}

Effects accept_snapshot(Model& model, Snapshot& fresh) {
  if (in_song(model) || (!is_live(model) && !is_file(model))) return {};
  if (fresh.nominal_hz != nominal_hz(model)) return {};  // of before the tone was changed
  if (is_live(model)) fresh.channels_agree = calm_agree(fresh);
  model.shown_channel = channel_to_show(model, fresh);
  show_snapshot(model, fresh);
  judge_flutter(model);
  Effects effects = advance_measurement(model);
  append(effects, advance_answer(model));
  advance_coach(model);
  advance_watch(model);
  append(effects, advance_clock_check(model));
  return effects;
}

}  // namespace four76
