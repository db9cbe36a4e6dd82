#include "core/song/song_jumps.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {
namespace {
constexpr double kTurn_s = static_cast<double>(SongJumps::kTurn) / kSongRate_hz;
constexpr std::size_t kMostFrames = 8192;  // 22 s
constexpr auto kRecentFrames = static_cast<std::size_t>(6.0 * TapeMovement::kFrames_hz);
constexpr int kLook = 20;            // turns
constexpr int kLeastTurns = 120;     // as long as the newest frames
constexpr double kBeside_s = 0.003;  // the trail went on elsewhere; less is wow
constexpr double kPull = 0.2;        // of what it is beside the trail, a turn
constexpr double kSame = 0.002;      // combs
// Strength in the newest frames, at two looks. On a sound device it was 9 at most, and soon below; while samples were
// lost, 14 for drums, and in the median 150 (four76_song_devices).
constexpr double kGone = 8.0;
constexpr int kLooks = 2;
}  // namespace

SongJumps::SongJumps(std::span<const float> reference)
    : reference_(reference), combs_(kMostFrames), frames_(kMostFrames + kTurn / TapeMovement::kHop + 1) {}

void SongJumps::reset() noexcept {
  filled_ = 0;
  keep_newest(0);
  turns_ = 0;
  hz_ = 0.0;
}

void SongJumps::keep_newest(std::size_t most) noexcept {
  if (count_ <= most) return;
  std::copy(frames_.data() + (count_ - most), frames_.data() + count_, frames_.data());
  count_ = most;
}

void SongJumps::follow(std::span<const float> tape, double to_s, const SongFollower* trail) noexcept {
  if (!trail && count_ == 0) return;
  const auto along = std::span(along_).subspan(filled_, tape.size());
  std::copy(tape.begin(), tape.end(), tape_.data() + filled_);
  if (trail) {
    read_reference(along, to_s, *trail);
  } else {
    std::fill(along.begin(), along.end(), 0.0F);  // as long as it took: a device's blocks go on
    turns_ = 0;
  }
  filled_ += tape.size();
  std::size_t at = 0;
  for (; at + TapeMovement::kFrame <= filled_; at += TapeMovement::kHop)
    frames_[count_++] = movement_.next(std::span(tape_).subspan(at), std::span(along_).subspan(at));
  std::copy(tape_.data() + at, tape_.data() + filled_, tape_.data());
  std::copy(along_.data() + at, along_.data() + filled_, along_.data());
  filled_ -= at;
  keep_newest(kMostFrames);
  if (trail && ++turns_ >= kLeastTurns) look();
}

void SongJumps::read_reference(std::span<float> out, double to_s, const SongFollower& trail) noexcept {
  const double move_s = trail.speed() * kTurn_s;
  double off_s = trail.place_at(to_s) - move_s - place_s_;
  if (turns_ == 0 || std::abs(off_s) > kBeside_s) {
    place_s_ += off_s;
    off_s = 0.0;
  }
  const double step_s = (move_s + kPull * off_s) / static_cast<double>(out.size());
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = table_.at(reference_, (place_s_ + step_s * static_cast<double>(i)) * kSongRate_hz);
  place_s_ += step_s * static_cast<double>(out.size());
}

// One step a turn.
void SongJumps::look() noexcept {
  const int step = turns_ % kLook;
  const auto frames = std::span(frames_).first(count_);
  if (step == 0) combs_.set(hz_ > 0.0 ? frames.last(kRecentFrames) : frames);
  if (step != 1) return;
  if (hz_ > 0.0) return look_again();
  const auto comb = combs_.sure();
  const double found_hz = comb ? 1.0 / comb->period_s : 0.0;
  if (comb && std::abs(found_hz - sure_hz_) < kSame * found_hz) hz_ = found_hz;
  sure_hz_ = found_hz;
  misses_ = 0;
}

void SongJumps::look_again() noexcept {
  misses_ = combs_.at(hz_).strength < kGone ? misses_ + 1 : 0;
  if (misses_ < kLooks) return;
  hz_ = sure_hz_ = 0.0;  // the device has recovered: what was before tells nothing of it
  keep_newest(kRecentFrames);
}

}  // namespace four76
