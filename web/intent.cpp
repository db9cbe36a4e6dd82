#include "web/intent.hpp"

#include <cmath>
#include <cstdlib>

namespace four76 {
namespace {

std::optional<double> number(std::string_view text) {
  const std::string copy(text);
  char* end = nullptr;
  const double value = std::strtod(copy.c_str(), &end);
  if (end == copy.c_str() || *end != '\0' || !std::isfinite(value)) return std::nullopt;
  return value;
}

template <class Choice>
std::optional<Choice> choice_named(std::string_view value, std::initializer_list<Choice> all) {
  for (const Choice choice : all)
    if (control_value(choice) == value) return choice;
  return std::nullopt;
}

}  // namespace

std::string_view control_value(Unit unit) noexcept {
  switch (unit) {
    case Unit::percent: return "percent";
    case Unit::cents: return "cents";
    case Unit::hertz: return "hz";
  }
  return "percent";
}

std::string_view control_value(ChannelChoice channel) noexcept {
  switch (channel) {
    case ChannelChoice::both: return "both";
    case ChannelChoice::left: return "left";
    case ChannelChoice::right: return "right";
  }
  return "both";
}

std::optional<Intent> intent_of_button(std::string_view act) {
  if (act == "act-listen") return intent::Listen{};
  if (act == "act-stop") return intent::Stop{};
  if (act == "act-demo") return intent::StartDemo{};
  if (act == "act-open-file") return intent::OpenFile{};
  if (act == "act-update") return intent::TakeUpdate{};
  return std::nullopt;
}

std::optional<Intent> intent_of_control(std::string_view name, std::string_view value) {
  if (name == "tone" && value == "own") return intent::AskTone{};
  if (name == "tolerance" && value == "own") return intent::AskTolerance{};
  if (name == "device") return intent::ChooseDevice{std::string(value)};
  if (name == "unit") {
    if (const auto unit = choice_named(value, {Unit::percent, Unit::cents, Unit::hertz}))
      return intent::ChooseUnit{*unit};
    return std::nullopt;
  }
  if (name == "channel") {
    const auto channel = choice_named(value, {ChannelChoice::both, ChannelChoice::left, ChannelChoice::right});
    if (channel) return intent::ChooseChannel{*channel};
    return std::nullopt;
  }
  const std::optional<double> parsed = number(value);
  if (!parsed) return std::nullopt;
  if (name == "tone") return intent::ChooseTone{*parsed};
  if (name == "tolerance") return intent::ChooseTolerance{*parsed};
  if (name == "trim") return intent::SetTrimmer{*parsed};
  return std::nullopt;
}

}  // namespace four76
