// Music of no composer for the tests of core/tapes: chords of tempered notes whose harmonics fall and decay, on a
// machine whose position on the tape is known at each moment.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

#include "core/song/rate_changer.hpp"
#include "core/tapes/pitch/partial_tracker.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76::test {

struct Chords {
  double seconds = 30.0;
  double rate_hz = kSongRate_hz;
  double cents = 0.0;  // of its A above 440 Hz
  std::uint64_t seed = 1;
  double chord_s = 0.6;
  int harmonics = 8;
};

inline double ratio_of_cents(double cents) { return std::exp2(cents / 1200.0); }
inline double cents_of_percent(double percent) { return 1200.0 * std::log2(1.0 + percent / 100.0); }

// Triads on roots of two octaves from A = 110 Hz and a melody above. `position_s` says where on the tape the machine
// is.
template <class Position>
std::vector<float> played_chords(const Chords& chords, Position position_s) {
  Noise noise(chords.seed);
  const auto pick = [&](int count) { return static_cast<int>(noise.uniform() * count); };
  std::vector<std::array<double, 4>> notes_hz(static_cast<std::size_t>(1.1 * chords.seconds / chords.chord_s) + 2);
  for (auto& chord : notes_hz) {
    const int root = pick(24), third = 3 + pick(2);
    const std::array<int, 4> semitones{root, root + third, root + 7, 24 + pick(24)};
    for (std::size_t i = 0; i < chord.size(); ++i)
      chord[i] = 110.0 * ratio_of_cents(100.0 * semitones[i] + chords.cents);
  }
  std::vector<float> x(frames_in(chords.seconds, chords.rate_hz));
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double at_s = position_s(static_cast<double>(n) / chords.rate_hz);
    const auto chord = std::min(notes_hz.size() - 1, static_cast<std::size_t>(std::max(0.0, at_s / chords.chord_s)));
    const double since_s = at_s - static_cast<double>(chord) * chords.chord_s;
    const double envelope = std::min(1.0, since_s / 0.01) * std::exp(-2.0 * since_s);
    double sum = 0.0;
    for (const double hz : notes_hz[chord]) {
      const double angle = kTwoPi * hz * since_s;
      const double twice_cosine = 2.0 * std::cos(angle);
      double before = 0.0, now = std::sin(angle);  // sin k x = 2 cos x sin (k - 1) x - sin (k - 2) x
      for (int k = 1; k <= chords.harmonics && k * hz < 0.45 * chords.rate_hz; ++k) {
        sum += now / k;
        const double next = twice_cosine * now - before;
        before = now;
        now = next;
      }
    }
    x[n] = static_cast<float>(0.08 * envelope * sum);
  }
  return x;
}

// On a machine that is off by so many percent.
inline std::vector<float> played_chords(const Chords& chords, double speed_error_percent = 0.0) {
  return played_chords(chords, [=](double t) { return t * (1.0 + speed_error_percent / 100.0); });
}

// Calls `sink` with each frame of partials.
template <class Sink>
void for_partials(std::span<const float> samples, Sink&& sink) {
  PartialTracker tracker;
  tracker.process(samples, sink);
}

}  // namespace four76::test
