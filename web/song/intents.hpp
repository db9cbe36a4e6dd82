// What the person asks of the song bench, and how far its recording is.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <variant>

namespace four76 {

namespace intent {
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
}  // namespace intent

using SongIntent =
    std::variant<intent::OpenSongBench, intent::CloseSongBench, intent::OpenReference, intent::RecordReference,
                 intent::UseRecording, intent::ForgetReference, intent::PlayTape, intent::OpenTape, intent::KeepTape,
                 intent::ForgetTape, intent::ForgetBrokenTapes, intent::NameMachine, intent::Recorded>;

}  // namespace four76
