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
#include "core/song/song_rates.hpp"
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

  // Where its parent would be if it had run as the partials say since it was last held: the trimmer was turned.
  SongFollower(const SongFollower& parent, const SongRates::Agreed& rate) noexcept;

  // Looks for the next point in a window that sounds; whether there was one. A note's period too far is told from a
  // turn by the partials, where they agree: it moves the place and not the rate.
  bool carry_on(SongWindow& window, const std::optional<SongRates::Agreed>& rate) noexcept;
  // Where it had no point: the place by dead reckoning, as fast as the partials say.
  void reckon(const SongRate& rate) noexcept;
  // A higher peak than the trail's own in the last window, off the trail.
  [[nodiscard]] const std::optional<SongPeak>& elsewhere() const noexcept { return elsewhere_; }

  [[nodiscard]] double score() const noexcept { return score_; }            // of a quarter of a second
  [[nodiscard]] double long_score() const noexcept { return long_score_; }  // of a second
  // The same, as it would be at this rate after some seconds; nothing before it has gone on for a while.
  [[nodiscard]] double lasting_score() const noexcept;
  [[nodiscard]] int misses() const noexcept;       // in a row
  [[nodiscard]] int recent_hits() const noexcept;  // of the last ten windows
  // In how many of the last 32 windows no other place within reach agreed better than its own. On the right trail 18
  // and more; on another song of the same tuning, whose notes agree with the reference's in passing, 15 at most but for
  // sustained chords (seen in seven manners of music).
  [[nodiscard]] int recent_best() const noexcept;
  // By the height of the last quarter of a second alone: another song's windows hardly ever reach it.
  [[nodiscard]] bool is_beyond_doubt() const noexcept;
  [[nodiscard]] bool is_better_than(const SongFollower& shown) const noexcept;
  // Goes on beside where the one that is shown was and has gone on no more since.
  [[nodiscard]] bool stepped_from(const SongFollower& shown) const noexcept;
  // By how much it is beside where the tape would be had it never stepped or slipped since it was found.
  [[nodiscard]] double aside_s() const noexcept { return aside_s_; }
  [[nodiscard]] double speed() const noexcept { return speed_; }
  [[nodiscard]] Birth birth() const noexcept { return birth_; }
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
  [[nodiscard]] std::optional<SongPeak> near_peak(std::span<const SongPeak> peaks, double expected_s) const noexcept;
  void take(const SongPoint& point, const std::optional<SongRates::Agreed>& rate) noexcept;
  void add(const SongPoint& point, int piece) noexcept;

  static constexpr std::size_t kPoints = SongStillness::kMostPoints;
  std::array<SongPoint, kPoints> points_{};  // the newest last
  std::array<int, kPoints> pieces_{};        // of each point: grows where the place slips by a note's period
  std::size_t count_ = 0;
  double speed_ = 1.0;
  double score_ = 0.0, long_score_ = 0.0;
  double usual_z_ = 0.0;
  double aside_s_ = 0.0;
  int hits_ = 0, windows_ = 0;
  std::uint32_t history_ = 0;  // a bit for each window, the newest lowest: there was a point
  std::uint32_t best_ = 0;     // the same: no other place within reach agreed better
  bool inverted_ = false;
  Birth birth_ = Birth::beside;
  bool missed_ = false;
  std::optional<SongPeak> elsewhere_;
};

}  // namespace four76
