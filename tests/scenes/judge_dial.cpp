#include "tests/scenes/judge_dial.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>

namespace four76::scenes {

namespace {

constexpr double kWindowS = 0.4;
constexpr double kEnoughS = 0.1;     // of tone in the window, for a row to be about that tone
constexpr double kDyingAwayS = 1.0;  // after its end a tone may still ring in the room
constexpr double kTimesU95 = 3.0;

struct Off {
  double set_hz = std::numeric_limits<double>::infinity();
  double true_hz = std::numeric_limits<double>::infinity();
};

std::span<const float> newest(const std::vector<float>& curve, double time_s, double window_s) {
  const auto end = std::min(curve.size(), static_cast<std::size_t>(time_s * kCurveRateHz) + 1);
  const auto length = static_cast<std::size_t>(window_s * kCurveRateHz);
  const std::size_t first = end > length ? end - length : 0;
  return std::span(curve).subspan(first, end - first);
}

// From one tone; infinite where it was not on for long enough.
Off off_from(const ToneTruth& tone, double hz, double time_s) {
  double low = 1e9, high = 0.0, sum = 0.0, count = 0.0;
  for (const auto set : newest(tone.set_hz, time_s, kWindowS)) {
    if (set <= 0.0F) continue;
    low = std::min(low, static_cast<double>(set));
    high = std::max(high, static_cast<double>(set));
  }
  for (const auto instantaneous : newest(tone.true_hz, time_s, kWindowS)) {
    sum += static_cast<double>(instantaneous);
    count += instantaneous > 0.0F ? 1.0 : 0.0;
  }
  if (count < kEnoughS * kCurveRateHz) return {};
  return {std::max({0.0, low - hz, hz - high}), std::abs(hz - sum / count)};
}

bool is_dying_away(const Scene& scene, double time_s) {
  return std::any_of(scene.tones.begin(), scene.tones.end(), [&](const ToneTruth& tone) {
    const auto curve = newest(tone.true_hz, time_s, kDyingAwayS);
    return std::any_of(curve.begin(), curve.end(), [](float hz) { return hz > 0.0F; });
  });
}

}  // namespace

void judge_dial(const Scene& scene, const Reading& dial, Score& score) {
  if (dial.status != Status::measured) return;
  Off off;
  for (const ToneTruth& tone : scene.tones) {  // any tone of the tape is right while it is on
    const Off from = off_from(tone, *dial.frequency_hz, dial.time_s);
    off.set_hz = std::min(off.set_hz, from.set_hz);
    off.true_hz = std::min(off.true_hz, from.true_hz);
  }
  if (std::isinf(off.true_hz) && is_dying_away(scene, dial.time_s)) return;
  const double allowed_hz = kTimesU95 * *dial.u95_percent / 100.0 * scene.nominal_hz;
  ++score.dial_rows;
  score.dial_off_set += off.set_hz > allowed_hz;
  score.dial_off_true += off.true_hz > allowed_hz;
  score.dial_off += std::min(off.set_hz, off.true_hz) > allowed_hz;
  score.dial_off_nothing += scene.tones.empty();
}

}  // namespace four76::scenes
