#include "core/song/song_losses.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {
namespace {
constexpr double kLongestZeros_s = 0.5;  // a longer one is a pause
constexpr double kRemember_s = 4.0;
constexpr double kSettling_s = 1.0;  // in which the trail finds its new place
constexpr double kSame_s = 0.001;    // places
constexpr double kVisitedLately_s = 10.0;
// On sound devices steps to new places came with scores of 55 at most, and hardly two within six seconds; where samples
// were lost, drums stepped with 75 and more (four76_song_devices).
constexpr double kBeyondDoubt = 75.0;
constexpr double kTogether_s = 6.0;
constexpr int kLeastTogether = 3;
// On a sound device a trail that was laid beside its place slid to it by steps within so long (seen: 1 of 132 tapes).
constexpr double kFindsPlace_s = 2.0;
}  // namespace

SongLosses::SongLosses(double sample_rate_hz)
    : faults_({.sample_rate_hz = sample_rate_hz, .longest_gap_s = kLongestZeros_s}), sample_rate_hz_(sample_rate_hz) {}

void SongLosses::reset() noexcept {
  faults_.reset();
  gaps_ = 0;
  lost_at_s_.reset();
  zeros_at_s_.reset();
  begin_trail(0.0);
}

void SongLosses::hear(std::span<const float> interleaved, int channels) noexcept {
  const auto step = static_cast<std::size_t>(channels);
  for (std::size_t at = 0; at + step <= interleaved.size();) {
    std::size_t filled = 0;
    for (; filled < kBlock && at + step <= interleaved.size(); at += step, ++filled)
      block_[filled] =
          step == 1 ? interleaved[at] : 0.75F * interleaved[at] + interleaved[at + 1];  // opposed ones leave some
    faults_.process(std::span(block_).first(filled));
  }
  if (faults_.gap_count() == gaps_) return;
  gaps_ = faults_.gap_count();
  lost_at_s_ = zeros_at_s_ = static_cast<double>(faults_.sample_count()) / sample_rate_hz_;
}

void SongLosses::take(const SongPursuit::Step& step) noexcept {
  if (step.time_s - begun_at_s_ < kFindsPlace_s && step.score < kBeyondDoubt) return;
  bool visited = false;
  int together = 1;
  for (const SongPursuit::Step& before : std::span(steps_).first(count_)) {
    if (step.time_s - before.time_s < kVisitedLately_s)
      visited = visited || std::abs(step.to_s - before.from_s) < kSame_s || std::abs(step.to_s - before.to_s) < kSame_s;
    if (step.time_s - before.time_s < kTogether_s) ++together;
  }
  if (visited) return;
  if (count_ == kKept) {
    std::move(steps_.begin() + 1, steps_.end(), steps_.begin());
    --count_;
  }
  steps_[count_++] = step;
  if (step.score > kBeyondDoubt || together >= kLeastTogether || may_have_stepped(step.time_s))
    lost_at_s_ = step.time_s;
}

bool SongLosses::lost_lately(double time_s) const noexcept { return lost_at_s_ && time_s - *lost_at_s_ < kRemember_s; }

bool SongLosses::may_have_stepped(double time_s) const noexcept {
  return zeros_at_s_ && time_s - *zeros_at_s_ < kSettling_s;
}

}  // namespace four76
