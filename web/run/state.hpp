// Run: what is being measured, or why nothing is. Plain data.
#pragma once

#include <cstdint>
#include <string>

#include "web/platform/browser.hpp"

namespace four76 {

enum class Phase : std::uint8_t {
  idle,            // nothing runs: listen, demo or a file may be chosen
  asking,          // the browser was asked for the microphone and has not answered
  listening,       //
  demo,            // the simulated tape plays into the session
  measuring_file,  // a Worker measures a file
  file_shown,      //
  held,            // stopped: what was heard last stays on show
  failed,          // see Model::failure
};

// Why nothing is being measured although it was asked for.
struct Failure {
  enum class Kind : std::uint8_t { capture, narrow, interrupted, file, settings };  // narrow: a microphone for speech
  Kind kind = Kind::capture;
  browser::CaptureFault fault = browser::CaptureFault::other;  // where kind is capture
  std::string detail;                                          // the browser's, the file reader's or the core's words
  bool named_wav = false;                                      // of a file: its name promises what could not be read
};

// What keeps a running capture from delivering: a number on show would be an old one.
struct Interrupted {
  bool muted = false;      // the track delivers silence
  bool suspended = false;  // the audio context
  bool hidden = false;     // the page
  bool stalled = false;    // no samples for a while, and nobody says why
  [[nodiscard]] bool any() const noexcept { return muted || suspended || hidden || stalled; }
};

struct FileState {
  std::string name;
  double fraction = 0.0;  // 0 to 1
};

}  // namespace four76
