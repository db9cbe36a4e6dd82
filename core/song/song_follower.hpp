// SongFollower: one supposition of where the tape is and how fast it runs, carried on from window to window.
//
// A trimmer's turn, a dropout or a long note leaves several suppositions open. Each is carried on by the peaks near
// where it expects them, and its score, the heights of the last of them, tells which one is right.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

#include "core/song/song_lock.hpp"
#include "core/song/song_stillness.hpp"

namespace four76 {

class SongFollower {
 public:
  struct Slope {
    double speed = 1.0;
    double u95 = 0.0;
  };

  // Found where its parent left off, at another speed; or beside it, at the same one, as no trimmer can move a tape.
  enum class Birth : std::uint8_t { turned, beside };

  SongFollower() = default;
  SongFollower(const SongPoint& first, double speed, const SongFollower& parent, Birth birth) noexcept;
  explicit SongFollower(const SongLock::Path& path) noexcept;

  // Looks for the next point in a window that sounds; whether there was one.
  bool carry_on(SongWindow& window) noexcept;
  // A higher peak than the trail's own in the last window, off the trail.
  [[nodiscard]] const std::optional<SongPeak>& elsewhere() const noexcept { return elsewhere_; }

  [[nodiscard]] double score() const noexcept { return score_; }            // of a quarter of a second
  [[nodiscard]] double long_score() const noexcept { return long_score_; }  // of a second
  [[nodiscard]] int recent_hits() const noexcept;                           // of the last ten windows
  [[nodiscard]] bool is_better_than(const SongFollower& shown) const noexcept;
  [[nodiscard]] double speed() const noexcept { return speed_; }
  [[nodiscard]] bool inverted() const noexcept { return inverted_; }
  [[nodiscard]] bool missed() const noexcept { return missed_; }  // the last window, or it was far below the usual
  [[nodiscard]] const SongPoint& last() const noexcept { return points_[count_ - 1]; }
  [[nodiscard]] double span_s() const noexcept { return last().tape_s - points_[0].tape_s; }
  [[nodiscard]] double place_at(double tape_s) const noexcept;
  [[nodiscard]] bool is_same(const SongFollower& other) const noexcept;
  // Of the points of its last seconds; nothing where they span less than kOld_s. What is known of the wow is taken out.
  [[nodiscard]] std::optional<Slope> slope_of(double window_s, const SongStillness* still = nullptr) const noexcept;
  static constexpr double kOld_s = 0.35;

 private:
  void add(const SongPoint& point, int piece) noexcept;

  static constexpr std::size_t kPoints = SongStillness::kMostPoints;
  std::array<SongPoint, kPoints> points_{};  // the newest last
  std::array<int, kPoints> pieces_{};        // of each point: grows where the place slips by a note's period
  std::size_t count_ = 0;
  double speed_ = 1.0;
  double score_ = 0.0, long_score_ = 0.0;
  double usual_z_ = 0.0;
  int hits_ = 0, windows_ = 0;
  std::uint32_t history_ = 0;  // a bit for each window, the newest lowest
  bool inverted_ = false;
  Birth birth_ = Birth::beside;
  bool missed_ = false;
  std::optional<SongPeak> elsewhere_;
};

}  // namespace four76
