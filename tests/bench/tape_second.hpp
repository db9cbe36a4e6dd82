// What every speed benchmark measures: a session that listens to both channels of a worn machine at 48 kHz, in blocks
// as the page gets them.
#pragma once

#include <algorithm>
#include <cstddef>
#include <span>
#include <vector>

#include "core/demo/tape_simulator.hpp"
#include "core/tone/tone_session.hpp"

namespace four76::bench {

inline constexpr double kSampleRateHz = 48000.0;
inline constexpr int kChannels = 2;
inline constexpr double kTapeSeconds = 20.0;
inline constexpr std::size_t kBlockFrames = 2048;

inline std::vector<float> worn_tape() {
  TapeSimulator machine({.sample_rate_hz = kSampleRateHz, .channels = kChannels});
  std::vector<float> tape(static_cast<std::size_t>(kTapeSeconds * kSampleRateHz) * kChannels);
  machine.render(tape);
  return tape;
}

inline ToneSession listener() { return ToneSession({.sample_rate_hz = kSampleRateHz, .channels = kChannels}); }

inline void listen(ToneSession& session, std::span<const float> tape) {
  constexpr std::size_t kBlock = kBlockFrames * kChannels;
  for (std::size_t at = 0; at < tape.size(); at += kBlock) {
    session.process(tape.subspan(at, std::min(kBlock, tape.size() - at)));
  }
}

}  // namespace four76::bench
