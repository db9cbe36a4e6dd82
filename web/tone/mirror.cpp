// The mirror's controls: what can be chosen, and what is.
#include <optional>
#include <utility>
#include <vector>

#include "core/phrase.hpp"
#include "core/tone/nominal_tones.hpp"
#include "web/intent.hpp"
#include "web/mirror_parts.hpp"
#include "web/words.hpp"

namespace four76 {
namespace {

constexpr std::string_view kOwnValue = "own";  // the choice that opens a dialog

using Option = std::pair<std::string, std::string>;  // value, label

void put_control(JsonWriter& json, std::string_view name, std::string_view value, const std::vector<Option>& options) {
  json.key(name).open('{');
  json.key("value").value(value);
  json.key("options").open('[');
  for (const Option& option : options) json.open('[').value(option.first).value(option.second).close(']');
  json.close(']').close('}');
}

std::vector<Option> tone_options(double chosen_hz) {
  std::vector<Option> options;
  for (const double hz : kStandardTonesHz) options.emplace_back(control_value(hz), words::tone_name(hz));
  if (!is_standard_tone(chosen_hz)) options.emplace_back(control_value(chosen_hz), words::tone_name(chosen_hz));
  options.emplace_back(kOwnValue, say("Other\u2026##tone"));
  return options;
}

std::vector<Option> tolerance_options(double chosen_percent) {
  std::vector<Option> options;
  for (const Tolerance& t : kTolerances)
    options.emplace_back(control_value(t.percent), words::tolerance_name(t.percent));
  if (!is_standard_tolerance(chosen_percent))
    options.emplace_back(control_value(chosen_percent), words::tolerance_name(chosen_percent));
  options.emplace_back(kOwnValue, say("Own\u2026##tolerance"));
  return options;
}

// Which of two steady tones is the tape's; nothing to choose where there are none.
std::vector<Option> near_options(const Model& model) {
  const auto tones = candidates_hz(model);
  if (!tones) return {};
  std::vector<Option> options = {{"", say("not known")}};
  for (const double hz : *tones) options.emplace_back(control_value(hz), words::tone_heard(hz));
  return options;
}

std::vector<Option> tape_options(std::optional<double> chosen_percent) {
  std::vector<Option> options = {{"", words::tape_tolerance_name(std::nullopt)}};
  bool listed = !chosen_percent;
  for (const double percent : kTapeTolerancesPercent) {
    options.emplace_back(control_value(percent), words::tape_tolerance_name(percent));
    listed = listed || percent == chosen_percent;
  }
  if (!listed) options.emplace_back(control_value(*chosen_percent), words::tape_tolerance_name(chosen_percent));
  options.emplace_back(kOwnValue, say("Own\u2026##tolerance"));
  return options;
}

std::vector<Option> device_options(const Model& model) {
  std::vector<Option> options = {{"", say("the browser's choice")}};
  bool listed = model.settings.device_id.empty();
  for (const browser::InputDevice& device : model.devices) {
    if (device.id.empty() || device.id == "default") continue;
    options.emplace_back(device.id, device.label);
    listed = listed || device.id == model.settings.device_id;
  }
  if (!listed) options.emplace_back(model.settings.device_id, say("the one chosen last"));
  return options;
}

template <class Choice>
std::vector<Option> options_of(std::initializer_list<Choice> all, std::string_view (*name)(Choice) noexcept) {
  std::vector<Option> options;
  for (const Choice choice : all) options.emplace_back(control_value(choice), name(choice));
  return options;
}

}  // namespace

void put_controls(JsonWriter& json, const Model& model) {
  const Settings& settings = model.settings;
  json.key("controls").open('{');
  put_control(json, "tone", control_value(settings.nominal_hz), tone_options(settings.nominal_hz));
  put_control(json, "near", "", near_options(model));
  put_control(json, "tolerance", control_value(settings.tolerance_percent),
              tolerance_options(settings.tolerance_percent));
  const auto tape = settings.tape_tolerance_percent;
  put_control(json, "tape-tolerance", tape ? control_value(*tape) : "", tape_options(tape));
  put_control(json, "unit", control_value(settings.unit),
              options_of({Unit::percent, Unit::cents, Unit::hertz}, &words::unit_name));
  put_control(json, "channel", control_value(settings.channel),
              options_of({ChannelChoice::both, ChannelChoice::left, ChannelChoice::right}, &words::channel_name));
  put_control(json, "trace", control_value(settings.trace),
              options_of({Trace::steady, Trace::raw, Trace::weighted}, &words::trace_name));
  put_control(json, "device", settings.device_id, device_options(model));
  json.close('}');
}

}  // namespace four76
