// Runs a sound through a ToneSession: what its tests share.
#pragma once

#include <algorithm>
#include <span>
#include <vector>

#include "core/tone/tone_session.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76::test {

inline ToneSession::Config listening(double rate_hz, double nominal_hz = 3000.0, int channels = 1) {
  ToneSession::Config config;
  config.sample_rate_hz = rate_hz;
  config.nominal_hz = nominal_hz;
  config.channels = channels;
  return config;
}

inline Reading whole_reading(std::span<const float> x, const ToneSession::Config& config) {
  ToneSession session(config);
  session.process(x);
  return session.whole(0);
}

// The dial's readings, one by one as they come.
template <typename See>
void each_dial(ToneSession& session, std::span<const float> x, See&& see) {
  constexpr std::size_t kPiece = 64;
  std::uint64_t count = session.dial_count();
  for (std::size_t at = 0; at < x.size(); at += kPiece) {
    session.process(x.subspan(at, std::min(kPiece, x.size() - at)));
    if (session.dial_count() != count) see(session.dial(0));
    count = session.dial_count();
  }
}

// A tone in the noise of a good recording: 70 dB-Hz.
inline std::vector<float> clean_tape(double frequency_hz, double seconds, double rate_hz, double amplitude = 0.1,
                                     std::uint64_t seed = 51) {
  auto x = tone(frequency_hz, seconds, rate_hz, amplitude);
  add_noise_dbhz(x, amplitude, 70.0, rate_hz, seed);
  return x;
}

}  // namespace four76::test
