#include "web/clock/mirror.hpp"

#include <optional>
#include <string_view>

#include "web/clock/words.hpp"

namespace four76 {
namespace {

std::string_view name_of(ClockCheck::Stage stage) {
  switch (stage) {
    case ClockCheck::Stage::listening: return "listening";
    case ClockCheck::Stage::found: return "found";
    case ClockCheck::Stage::kept: return "kept";
    case ClockCheck::Stage::refused: return "refused";
  }
  return "";
}

}  // namespace

void put_clock(JsonWriter& json, const Model& model) {
  json.key("clock").open('{');
  json.key("stage").value(model.clock.check ? name_of(model.clock.check->stage) : "");
  json.key("said").value(words::clock_said(model));
  json.key("progress")
      .value(checks_clock(model) ? std::optional(model.clock.check->heard_s / kShortestClockCheck_s) : std::nullopt);
  std::optional<double> fast_ppm, u95_ppm;
  if (model.clock.check && model.clock.check->so_far) {
    fast_ppm = model.clock.check->so_far->fast_ppm;
    u95_ppm = model.clock.check->so_far->u95_ppm;
  }
  json.key("fast_ppm").value(fast_ppm);
  json.key("u95_ppm").value(u95_ppm);
  const CheckedClock* const used = clock_in_use(model);
  json.key("corrected_ppm").value(used ? std::optional(used->correction.fast_ppm) : std::nullopt);
  json.key("kept").open('[');
  for (const CheckedClock& clock : model.clock.kept) json.value(words::kept_clock(clock));
  json.close(']').close('}');
}

}  // namespace four76
