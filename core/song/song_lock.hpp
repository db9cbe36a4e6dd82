// SongLock: whether a tape plays at a place that the search has found, by eighteen windows of its newest five seconds.
//
// One window of a sustained note agrees with the reference at every period of the note, and of a chord's tones the
// wrong one may agree best. What all windows have in common is the place: of the peaks of each window, at five speeds
// about the place's, the path that is highest and straightest is taken (dynamic programming), for each speed it may run
// at and for either polarity. It is believed where its peaks are beyond chance and where no other path comes near.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>

#include "core/song/song_window.hpp"

namespace four76 {

struct SongPoint {
  double tape_s = 0.0;
  double place_s = 0.0;  // in the reference
  double z = 0.0;
};

class SongLock {
 public:
  static constexpr std::size_t kWindows = 18;
  static constexpr double kApart_s = 0.3;
  static constexpr double kSpan_s = kApart_s * (kWindows - 1) + PhaseCorrelator::kWindow_s;
  static constexpr int kLocalSpeeds = 3;  // to either side

  // The tape is thought to be at place_s at end_s, its newest moment, and to run at that speed.
  // How well the search's words agree there (SongPlace) counts as well.
  void begin(double end_s, double place_s, double speed, double agreement) noexcept;
  // One window more; true once all are done. `sound` begins at from_s.
  bool advance(SongWindow& window, std::span<const float> sound, double from_s) noexcept;

  struct Path {
    double speed = 1.0;
    bool inverted = false;
    double agreement = 0.5;
    double end_s = 0.0;   // the tape's newest moment then
    double score = 0.0;   // for each window: its height beyond chance less the cost of its bends
    double margin = 0.0;  // over the best path that ends elsewhere
    double end_lead_s = 0.0;
    std::size_t count = 0;
    std::array<SongPoint, kWindows> points{};  // in the order of time
    [[nodiscard]] bool is_believed() const noexcept;
    [[nodiscard]] bool is_likely() const noexcept;  // but another path comes near: more of the tape will tell
  };
  [[nodiscard]] Path best_path() const noexcept;

 private:
  struct Guess {
    double lead_s = 0.0;  // position less what it would be at the place's own speed
    double z = 0.0;
    int step = 0;  // of the local speed
    bool inverted = false;
  };
  struct Window {
    double tape_s = 0.0;
    std::size_t count = 0;
    std::array<Guess, (2 * kLocalSpeeds + 1) * SongWindow::kMostPeaks> guesses{};
  };
  void walk(int slope_step, bool inverted, Path& best, double& other) const noexcept;
  [[nodiscard]] double base_s(double tape_s) const noexcept { return place_s_ + speed_ * (tape_s - end_s_); }

  double end_s_ = 0.0, place_s_ = 0.0, speed_ = 1.0, agreement_ = 0.5;
  std::size_t next_ = 0;   // window to be looked at
  std::size_t count_ = 0;  // windows that sound
  std::array<Window, kWindows> windows_{};
};

}  // namespace four76
