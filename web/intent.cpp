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

// "1000;0.5": the source's frequency and how true it is in ppm.
std::optional<Intent> clock_to_check(std::string_view value) {
  const auto parting = value.find(';');
  if (parting == std::string_view::npos) return std::nullopt;
  const auto hz = number(value.substr(0, parting)), ppm = number(value.substr(parting + 1));
  if (!hz || !ppm) return std::nullopt;
  return intent::CheckClock{*hz, *ppm};
}

std::optional<Intent> forgotten_clock(double index) {
  if (!(index >= 0.0 && index < static_cast<double>(kMostClocks)) || index != std::floor(index)) return std::nullopt;
  return intent::ForgetClock{static_cast<std::size_t>(index)};
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

std::string_view control_value(Trace trace) noexcept {
  switch (trace) {
    case Trace::steady: return "steady";
    case Trace::raw: return "raw";
    case Trace::weighted: return "weighted";
  }
  return "steady";
}

std::string_view control_value(TapeEnd end) noexcept { return end == TapeEnd::end ? "end" : "start"; }

std::optional<Intent> intent_of_button(std::string_view act) {
  if (act == "act-listen") return intent::Listen{};
  if (act == "act-stop") return intent::Stop{};
  if (act == "act-demo") return intent::StartDemo{};
  if (act == "act-open-file") return intent::OpenFile{};
  if (act == "act-close-clock") return intent::CloseClockCheck{};
  if (act == "act-forget-clocks") return intent::ForgetBrokenClocks{};
  if (act == "act-flutter") return intent::NextView{};
  if (act == "act-measure") return intent::Measure{};
  if (act == "act-forget-measured") return intent::ForgetMeasured{};
  if (act == "act-update") return intent::TakeUpdate{};
  return std::nullopt;
}

std::optional<Intent> intent_of_control(std::string_view name, std::string_view value) {
  if (name == "tone" && value == "own") return intent::AskTone{};
  if (name == "tolerance" && value == "own") return intent::AskTolerance{};
  if (name == "tape-tolerance" && value == "own") return intent::AskTapeTolerance{};
  if (name == "tape-tolerance" && value.empty()) return intent::ChooseTapeTolerance{};
  if (name == "check-clock") return clock_to_check(value);
  if (name == "keep-clock") return intent::KeepClock{std::string(value)};
  if (name == "device") return intent::ChooseDevice{std::string(value)};
  if (name == "parts") return intent::EnterParts{std::string(value)};
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
  if (name == "trace") {
    if (const auto trace = choice_named(value, {Trace::steady, Trace::raw, Trace::weighted}))
      return intent::ChooseTrace{*trace};
    return std::nullopt;
  }
  if (name == "tape-end") {
    if (const auto end = choice_named(value, {TapeEnd::start, TapeEnd::end})) return intent::ChooseTapeEnd{*end};
    return std::nullopt;
  }
  const std::optional<double> parsed = number(value);
  if (!parsed) return std::nullopt;
  if (name == "tone") return intent::ChooseTone{*parsed};
  if (name == "tolerance") return intent::ChooseTolerance{*parsed};
  if (name == "tape-tolerance") return intent::ChooseTapeTolerance{*parsed};
  if (name == "forget-clock") return forgotten_clock(*parsed);
  if (name == "trim") return intent::SetTrimmer{*parsed};
  return std::nullopt;
}

}  // namespace four76
