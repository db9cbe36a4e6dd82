// Effects: what update() asks main to carry out. Plain data.
#pragma once

#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "core/demo/tape_simulator.hpp"
#include "core/tone/tone_session.hpp"
#include "web/tone/state.hpp"

namespace four76 {

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
  TapeTold told;
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

}  // namespace four76
