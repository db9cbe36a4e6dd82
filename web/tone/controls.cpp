#include "web/tone/controls.hpp"

#include <cstddef>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "core/phrase.hpp"
#include "core/records/kept_lines.hpp"
#include "core/tone/nominal_tones.hpp"
#include "web/controls.hpp"
#include "web/overloaded.hpp"
#include "web/tone/update.hpp"
#include "web/tone/words.hpp"
#include "web/words/numbers.hpp"

namespace four76 {
namespace {

// In the order of their enumerators.
constexpr std::string_view kUnits[] = {"percent", "cents", "hz"};
constexpr std::string_view kChannels[] = {"both", "left", "right"};
constexpr std::string_view kTraces[] = {"steady", "raw", "weighted"};

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

std::string_view control_value(Unit unit) noexcept { return kUnits[static_cast<std::size_t>(unit)]; }
std::string_view control_value(ChannelChoice channel) noexcept { return kChannels[static_cast<std::size_t>(channel)]; }
std::string_view control_value(Trace trace) noexcept { return kTraces[static_cast<std::size_t>(trace)]; }

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

std::optional<Intent> tone_button(std::string_view act) {
  if (act == "act-sure") return intent::SureOfTone{};
  return std::nullopt;
}

std::optional<Intent> tone_control(std::string_view name, std::string_view value) {
  if (name == "tone" && value == kOwnValue) return intent::AskTone{};
  if (name == "tolerance" && value == kOwnValue) return intent::AskTolerance{};
  if (name == "tape-tolerance" && value == kOwnValue) return intent::AskTapeTolerance{};
  if (name == "tape-tolerance" && value.empty()) return intent::ChooseTapeTolerance{};
  if (name == "device") return intent::ChooseDevice{std::string(value)};
  if (name == "unit") return chosen<intent::ChooseUnit, Unit>(value, kUnits);
  if (name == "channel") return chosen<intent::ChooseChannel, ChannelChoice>(value, kChannels);
  if (name == "trace") return chosen<intent::ChooseTrace, Trace>(value, kTraces);
  const std::optional<double> parsed = parse_number(value);
  if (!parsed) return std::nullopt;
  if (name == "tone") return intent::ChooseTone{*parsed};
  if (name == "near") return intent::ChooseNear{*parsed};
  if (name == "tolerance") return intent::ChooseTolerance{*parsed};
  if (name == "tape-tolerance") return intent::ChooseTapeTolerance{*parsed};
  return std::nullopt;
}

void put_tone_usable(JsonWriter& json, const Model& model) {
  json.key("act-sure").value(!is_held(model) && suggested_tone_hz(model).has_value());
}

Effects carry_out(Model& model, const ToneIntent& intent) {
  namespace in = intent;
  return std::visit(
      Overloaded{
          [&](const in::ChooseTone& chosen) { return choose_tone(model, chosen.hz); },
          [&](const in::AskTone&) { return ask_tone(model); },
          [&](const in::SureOfTone&) { return sure_of_tone(model); },
          [&](const in::ChooseNear& chosen) { return choose_near(model, chosen.hz); },
          [&](const in::ChooseTolerance& chosen) { return choose_tolerance(model, chosen.percent); },
          [&](const in::AskTolerance&) { return ask_tolerance(model); },
          [&](const in::ChooseTapeTolerance& chosen) { return choose_tape_tolerance(model, chosen.percent); },
          [&](const in::AskTapeTolerance&) { return ask_tape_tolerance(model); },
          [&](const in::ChooseUnit& chosen) { return choose_unit(model, chosen.unit); },
          [&](const in::NextUnit&) {
            return choose_unit(model, static_cast<Unit>((static_cast<int>(model.settings.unit) + 1) % 3));
          },
          [&](const in::ChooseChannel& chosen) { return choose_channel(model, chosen.channel); },
          [&](const in::ChooseDevice& chosen) { return choose_device(model, chosen.id); },
          [&](const in::ChooseTrace& chosen) { return choose_trace(model, chosen.trace); },
          [&](const in::NextTrace&) {
            return choose_trace(model, static_cast<Trace>((static_cast<int>(model.settings.trace) + 1) % 3));
          },
      },
      intent);
}

}  // namespace four76
