#include "web/machine/mirror.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "web/machine/words.hpp"

namespace four76 {

void put_measure(JsonWriter& json, const Model& model) {
  json.key("measure").open('{');
  const bool runs = measures(model);
  const auto* run = runs ? &*model.machine.run : nullptr;
  json.key("place").value(name_of(model.machine.place));
  json.key("seconds").value(std::optional(model.settings.visit_s));
  json.key("kept_as").value(run && run->kept_as ? name_of(*run->kept_as) : "");
  json.key("progress").value(run ? std::optional(run->heard_s / run->seconds) : std::nullopt);
  json.key("left_s").value(run ? std::optional(std::ceil(std::max(0.0, run->seconds - run->heard_s))) : std::nullopt);
  json.key("act").value(words::measure_name(model));
  // The last one at the place that is chosen: what an own tape is certified by.
  const auto& last = model.machine.measured[static_cast<std::size_t>(model.machine.place)];
  json.key("percent").value(last ? last->whole.speed_error_percent : std::nullopt);
  json.key("u95_percent").value(last ? last->whole.u95_percent : std::nullopt);
  json.key("said").value(words::measure_said(model));
  json.key("kept").open('[');
  for (const std::string& line : words::measured(model)) json.value(line);
  json.close(']').key("difference").value(words::measured_difference(model));
  json.close('}');
}

}  // namespace four76
