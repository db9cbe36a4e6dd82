// Intents: what the person asks for, from a view or an HTML control. Effects: what update() asks main to carry out.
// Both are plain data.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "core/demo/tape_simulator.hpp"
#include "core/tone/tone_session.hpp"
#include "web/model.hpp"
#include "web/platform/browser.hpp"

namespace four76 {

namespace intent {
struct Listen {};
struct Stop {};
struct Clear {};  // what is held
struct StartDemo {};
struct OpenFile {};
struct ChooseTone {
  double hz = 3000.0;
};
struct AskTone {};
struct SureOfTone {};  // the tape carries the chosen tone, although it reads as another standard one
struct ChooseNear {
  double hz = 3000.0;
};  // of two steady tones this one is the tape's
struct ChooseTolerance {
  double percent = 0.5;
};
struct AskTolerance {};
struct ChooseTapeTolerance {
  std::optional<double> percent;  // nothing where it is not stated
};
struct AskTapeTolerance {};
struct CheckClock {
  double known_hz = 1000.0, source_u95_ppm = 0.0;
};
struct KeepClock {
  std::string date;  // of today, "2026-11-25"
};
struct ForgetClock {
  std::size_t index = 0;  // in the book
};
struct ForgetBrokenClocks {};
struct CloseClockCheck {};  // whether it runs or has ended
struct ChooseUnit {
  Unit unit = Unit::percent;
};
struct NextUnit {};
struct ChooseChannel {
  ChannelChoice channel = ChannelChoice::both;
};
struct ChooseDevice {
  std::string id;
};
struct TurnTrimmer {
  double percent = 0.0;
};  // by so much, from where it stands
struct SetTrimmer {
  double percent = 0.0;
};  // to there
struct TakeUpdate {};
struct ShowHelp {
  std::string_view section;
};  // "use", "trouble", "budget", "safety", "notices", "about"
struct VisitStored {};
struct ScreenTold {
  bool may_go_dark = false;
};  // whether the browser keeps it on
struct ChooseLook {
  bool daylight = false;
};
struct ChooseTrace {
  Trace trace = Trace::steady;
};
struct NextTrace {};
struct ChooseView {
  View view = View::speed;
};
struct NextView {};
struct ChoosePlace {
  TapePlace place = TapePlace::unsaid;
};
struct ChooseVisitSeconds {
  double seconds = kVisitUsualS;
};
struct Measure {};  // for so long at that place; breaks off one that runs
struct MeasureVisit {
  VisitStage stage = VisitStage::as_found;
};                       // the same, to be kept on a card
struct AnswerFriend {};  // measures what a link asks for, and lets it be sent back
struct LinkFiled {};     // the result that came is on a card, or is not wanted
struct ShowWatch {
  bool on = false;
};  // its course is looked at
struct ShowCoach {
  bool on = false;
};  // unfolded: the hint says what the coach says
struct CardsChanged {
  CardsState state = CardsState::kept;
};                         // what became of the cards on this device
struct ForgetMeasured {};  //
struct EnterParts {
  std::string text;  // see parts_text.hpp
};
struct TurnedScrew {
  TurnWay way = TurnWay::unsaid;
  std::optional<double> turns;
};  // the person says that they just have
struct KnowScrew {
  std::optional<bool> clockwise_is_faster;
};  // from the machine's card; nothing forgets it
struct OpenSongBench {};
struct CloseSongBench {};
struct OpenReference {};    // a file
struct RecordReference {};  // by the microphone
struct UseRecording {};     // ends it
struct ForgetReference {};
struct PlayTape {};  // into the microphone
struct OpenTape {};  // a file
struct KeepTape {
  std::string machine, tape;
  std::string date;  // of today, "2026-11-26"
};
struct ForgetTape {
  std::size_t index = 0;  // in the book
};
struct ForgetBrokenTapes {};
struct NameMachine {
  std::string name;
};
struct Recorded {
  double seconds = 0.0;
  std::optional<double> level_dbfs;
};  // how far a recording is
struct InputStalled {
  bool stalled = false;
};  // main's watch over the samples that should arrive
}  // namespace intent

using Intent =
    std::variant<intent::Listen, intent::Stop, intent::Clear, intent::StartDemo, intent::OpenFile, intent::ChooseTone,
                 intent::AskTone, intent::SureOfTone, intent::ChooseNear, intent::ChooseTolerance, intent::AskTolerance,
                 intent::ChooseTapeTolerance, intent::AskTapeTolerance, intent::CheckClock, intent::KeepClock,
                 intent::ForgetClock, intent::ForgetBrokenClocks, intent::CloseClockCheck, intent::ChooseUnit,
                 intent::NextUnit, intent::ChooseChannel, intent::ChooseDevice, intent::TurnTrimmer, intent::SetTrimmer,
                 intent::TakeUpdate, intent::ShowHelp, intent::VisitStored, intent::ScreenTold, intent::ChooseLook,
                 intent::ChooseTrace, intent::NextTrace, intent::ChooseView, intent::NextView, intent::ChoosePlace,
                 intent::ChooseVisitSeconds, intent::MeasureVisit, intent::AnswerFriend, intent::LinkFiled,
                 intent::ShowWatch, intent::ShowCoach, intent::CardsChanged, intent::Measure, intent::ForgetMeasured,
                 intent::EnterParts, intent::OpenSongBench, intent::CloseSongBench, intent::OpenReference,
                 intent::RecordReference, intent::UseRecording, intent::ForgetReference, intent::PlayTape,
                 intent::OpenTape, intent::KeepTape, intent::ForgetTape, intent::ForgetBrokenTapes, intent::NameMachine,
                 intent::Recorded, intent::InputStalled, intent::TurnedScrew, intent::KnowScrew>;
using Intents = std::vector<Intent>;

namespace effect {
struct StartCapture {
  std::string device_id;
};
struct StopCapture {};
struct ListDevices {};
struct OpenFilePicker {
  std::string_view role = "tone";
};  // see browser::open_file_picker
struct CancelFile {};
struct MeasureAgain {
  double nominal_hz = 3000.0;
  Model::Told told;
};  // the file on show, against another tone or knowing more of the tape
struct AskNumber {
  std::string_view question, label, unit;
  double value = 0.0, lowest = 0.0, highest = 0.0;
};
struct ShowHelp {
  std::string_view section;
};
struct KeepAwake {
  bool on = false;
};
struct Store {
  std::string_view key;
  std::string value;
};
struct TakeUpdate {};
struct KeepVisit {
  std::string json;   // a visit as in core/records/card, without its id and time
  bool demo = false;  // of the simulated machine
};
struct OpenSession {
  ToneSession::Config config;
};                       // a new one, in place of the present one
struct CloseSession {};  // of a tone or of a song; a recording is thrown away
struct OpenSong {
  double sample_rate_hz = 48000.0, discard_s = 0.0;
};  // follows a tape along the reference
struct StartRecording {
  double sample_rate_hz = 48000.0, discard_s = 0.0;
};
struct HoldRecording {};  // becomes the reference
struct HoldSong {};       // what the Worker read becomes the reference
struct DropSong {};       // the reference
struct StartTape {
  TapeSimulator::Config config;
};
struct TurnTape {
  double percent = 0.0;
};
struct StopTape {};
}  // namespace effect

using Effect =
    std::variant<effect::StartCapture, effect::StopCapture, effect::ListDevices, effect::OpenFilePicker,
                 effect::CancelFile, effect::MeasureAgain, effect::AskNumber, effect::ShowHelp, effect::KeepAwake,
                 effect::Store, effect::TakeUpdate, effect::KeepVisit, effect::OpenSession, effect::CloseSession,
                 effect::OpenSong, effect::StartRecording, effect::HoldRecording, effect::HoldSong, effect::DropSong,
                 effect::StartTape, effect::TurnTape, effect::StopTape>;
using Effects = std::vector<Effect>;

// The intent that an HTML button or control stands for; nothing where its name or value is not known.
[[nodiscard]] std::optional<Intent> intent_of_button(std::string_view act);
[[nodiscard]] std::optional<Intent> intent_of_control(std::string_view name, std::string_view value);

// The values of the HTML controls: "percent", "cents", "hz"; "both", "left", "right"; "own" opens the dialog.
[[nodiscard]] std::string_view control_value(Unit unit) noexcept;
[[nodiscard]] std::string_view control_value(ChannelChoice channel) noexcept;
[[nodiscard]] std::string_view control_value(Trace trace) noexcept;  // "steady", "raw", "weighted"
[[nodiscard]] std::string control_value(double value);               // "3003.27": as settings are kept, too

}  // namespace four76
