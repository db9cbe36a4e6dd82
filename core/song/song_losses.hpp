// SongLosses: whether the device loses or repeats samples of the song that is followed.
//
// - Runs of exact zeros, at the rate of the capture: a tape has none (CaptureFaults).
// - Steps of the trail. A tape cannot be beside where it just was. But a note allows several places, and the trail may
//   have gone to a wrong one and come back: a step counts where it leads to a place that was not visited lately, and
//   one alone only where the music leaves no doubt.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

#include "core/song/song_pursuit.hpp"
#include "core/tone/capture_faults.hpp"

namespace four76 {

class SongLosses {
 public:
  explicit SongLosses(double sample_rate_hz);
  void reset() noexcept;
  // All that is captured, interleaved.
  void hear(std::span<const float> interleaved, int channels) noexcept;
  // A trail was begun: its steps are counted from there on, once it had time to find its place.
  void begin_trail(double time_s) noexcept {
    count_ = 0;
    begun_at_s_ = time_s;
  }
  // Each step of the trail once.
  void take(const SongPursuit::Step& step) noexcept;

  // Whether any were lost or repeated within the last seconds; 4 of them, the dial's own window and some.
  [[nodiscard]] bool lost_lately(double time_s) const noexcept;
  // The same of zeros just now: the trail is likely to have stepped.
  [[nodiscard]] bool may_have_stepped(double time_s) const noexcept;

 private:
  static constexpr std::size_t kKept = 8;
  static constexpr std::size_t kBlock = 256;

  CaptureFaults faults_;
  double sample_rate_hz_;
  std::array<float, kBlock> block_{};
  std::uint64_t gaps_ = 0;
  std::optional<double> lost_at_s_, zeros_at_s_;
  double begun_at_s_ = 0.0;
  std::array<SongPursuit::Step, kKept> steps_{};  // the newest last
  std::size_t count_ = 0;
};

}  // namespace four76
