#include "web/intent.hpp"

#include <cmath>
#include <cstdio>
#include <span>

#include "core/records/kept_lines.hpp"

namespace four76 {
namespace {

// "1000;0.5": the source's frequency and how true it is in ppm.
std::optional<Intent> clock_to_check(std::string_view value) {
  const auto parting = value.find(';');
  if (parting == std::string_view::npos) return std::nullopt;
  const auto hz = parse_number(value.substr(0, parting)), ppm = parse_number(value.substr(parting + 1));
  if (!hz || !ppm) return std::nullopt;
  return intent::CheckClock{*hz, *ppm};
}

std::optional<Intent> forgotten_clock(double index) {
  if (!(index >= 0.0 && index < static_cast<double>(kMostClocks)) || index != std::floor(index)) return std::nullopt;
  return intent::ForgetClock{static_cast<std::size_t>(index)};
}

std::optional<Intent> named_place(std::string_view value) {
  for (const TapePlace place : kTapePlaces)
    if (name_of(place) == value) return intent::ChoosePlace{place};
  return std::nullopt;
}

// In the order of their enumerators.
constexpr std::string_view kUnits[] = {"percent", "cents", "hz"};
constexpr std::string_view kChannels[] = {"both", "left", "right"};
constexpr std::string_view kTraces[] = {"steady", "raw", "weighted"};
constexpr std::string_view kCardsStates[] = {"kept", "refused", "full", "set-aside"};  // as the page says it

// The intent that chooses what is so named.
template <class Chosen, class Choice>
std::optional<Intent> chosen(std::string_view value, std::span<const std::string_view> names) {
  for (std::size_t i = 0; i < names.size(); ++i)
    if (names[i] == value) return Chosen{static_cast<Choice>(i)};
  return std::nullopt;
}

}  // namespace

std::string_view control_value(Unit unit) noexcept { return kUnits[static_cast<std::size_t>(unit)]; }
std::string_view control_value(ChannelChoice channel) noexcept { return kChannels[static_cast<std::size_t>(channel)]; }
std::string_view control_value(Trace trace) noexcept { return kTraces[static_cast<std::size_t>(trace)]; }
std::string control_value(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.9g", value);
  return text;
}

namespace {

std::optional<Intent> intent_of_song(std::string_view act) {
  if (act == "act-song") return intent::OpenSongBench{};
  if (act == "act-song-close") return intent::CloseSongBench{};
  if (act == "act-song-reference") return intent::OpenReference{};
  if (act == "act-song-record") return intent::RecordReference{};
  if (act == "act-song-done") return intent::UseRecording{};
  if (act == "act-song-forget") return intent::ForgetReference{};
  if (act == "act-song-listen") return intent::PlayTape{};
  if (act == "act-song-file") return intent::OpenTape{};
  if (act == "act-song-keep") return intent::ShowHelp{"tapes"};
  if (act == "act-forget-tapes") return intent::ForgetBrokenTapes{};
  return std::nullopt;
}

// "2026-11-26", the machine and the tape, a line each.
std::optional<Intent> tape_to_keep(std::string_view value) {
  const auto first = value.find('\n');
  const auto second = first == std::string_view::npos ? first : value.find('\n', first + 1);
  if (second == std::string_view::npos) return std::nullopt;
  return intent::KeepTape{std::string(value.substr(first + 1, second - first - 1)),
                          std::string(value.substr(second + 1)), std::string(value.substr(0, first))};
}

std::optional<Intent> forgotten_tape(double index) {
  if (!(index >= 0.0 && index < static_cast<double>(kMostTapes)) || index != std::floor(index)) return std::nullopt;
  return intent::ForgetTape{static_cast<std::size_t>(index)};
}

std::optional<Intent> screw_known(std::string_view value) {
  if (value.empty()) return intent::KnowScrew{};
  if (value != "faster" && value != "slower") return std::nullopt;
  return intent::KnowScrew{value == "faster"};
}

// "clockwise", "counter-clockwise", or how many turns beside it: "clockwise;0.25".
std::optional<Intent> turned(std::string_view value) {
  const auto parting = value.find(';');
  const std::string_view way = value.substr(0, parting);
  if (way != "clockwise" && way != "counter-clockwise") return std::nullopt;
  intent::TurnedScrew made{way == "clockwise" ? TurnWay::clockwise : TurnWay::counter_clockwise, std::nullopt};
  if (parting != std::string_view::npos) made.turns = parse_number(value.substr(parting + 1));
  return made;
}

}  // namespace

std::optional<Intent> intent_of_button(std::string_view act) {
  if (act == "act-listen") return intent::Listen{};
  if (act == "act-stop") return intent::Stop{};
  if (act == "act-clear") return intent::Clear{};
  if (act == "act-demo") return intent::StartDemo{};
  if (act == "act-open-file") return intent::OpenFile{};
  if (act == "act-sure") return intent::SureOfTone{};
  if (act == "act-close-clock") return intent::CloseClockCheck{};
  if (act == "act-forget-clocks") return intent::ForgetBrokenClocks{};
  if (act == "act-flutter") return intent::NextView{};
  if (act == "act-measure") return intent::Measure{};
  if (act == "act-as-found") return intent::MeasureVisit{VisitStage::as_found};
  if (act == "act-as-left") return intent::MeasureVisit{VisitStage::as_left};
  if (act == "act-answer") return intent::AnswerFriend{};
  if (act == "act-friend") return intent::ShowHelp{"friend"};
  if (act == "act-link-filed") return intent::LinkFiled{};
  if (act == "act-cards") return intent::ShowHelp{"cards"};
  if (act == "act-forget-measured") return intent::ForgetMeasured{};
  if (act == "act-turned") return intent::TurnedScrew{};
  if (act == "act-update") return intent::TakeUpdate{};
  return intent_of_song(act);
}

std::optional<Intent> intent_of_control(std::string_view name, std::string_view value) {
  if (name == "tone" && value == "own") return intent::AskTone{};
  if (name == "tolerance" && value == "own") return intent::AskTolerance{};
  if (name == "tape-tolerance" && value == "own") return intent::AskTapeTolerance{};
  if (name == "tape-tolerance" && value.empty()) return intent::ChooseTapeTolerance{};
  if (name == "check-clock") return clock_to_check(value);
  if (name == "keep-clock") return intent::KeepClock{std::string(value)};
  if (name == "device") return intent::ChooseDevice{std::string(value)};
  if (name == "keep-tape") return tape_to_keep(value);
  if (name == "machine") return intent::NameMachine{std::string(value)};
  if (name == "turned") return turned(value);
  if (name == "clockwise") return screw_known(value);
  if (name == "parts") return intent::EnterParts{std::string(value)};
  if (name == "unit") return chosen<intent::ChooseUnit, Unit>(value, kUnits);
  if (name == "channel") return chosen<intent::ChooseChannel, ChannelChoice>(value, kChannels);
  if (name == "trace") return chosen<intent::ChooseTrace, Trace>(value, kTraces);
  if (name == "place") return named_place(value);
  if (name == "cards") return chosen<intent::CardsChanged, CardsState>(value, kCardsStates);
  if (name == "visit") return intent::VisitStored{};
  if (name == "screen") return intent::ScreenTold{value == "dark"};
  if (name == "look") return intent::ChooseLook{value == "daylight"};
  if (name == "watch") return intent::ShowWatch{value == "open"};
  if (name == "coach") return intent::ShowCoach{value == "open"};
  const std::optional<double> parsed = parse_number(value);
  if (!parsed) return std::nullopt;
  if (name == "tone") return intent::ChooseTone{*parsed};
  if (name == "near") return intent::ChooseNear{*parsed};
  if (name == "tolerance") return intent::ChooseTolerance{*parsed};
  if (name == "visit-seconds") return intent::ChooseVisitSeconds{*parsed};
  if (name == "tape-tolerance") return intent::ChooseTapeTolerance{*parsed};
  if (name == "forget-clock") return forgotten_clock(*parsed);
  if (name == "forget-tape") return forgotten_tape(*parsed);
  if (name == "trim") return intent::SetTrimmer{*parsed};
  return std::nullopt;
}

}  // namespace four76
