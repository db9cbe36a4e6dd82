// LevelWatch: does the device play with the level?
//
// Voice processing shows in the level of a steady tone: a suppressor fades it out within seconds and keeps it down; an
// automatic gain or a gate moves the tone and the noise beside it together, while a dropout or a room's standing waves
// move the tone alone. Watched in blocks of 50 ms:
// - fade: the level leaves its usual height slowly (0.3 s and more) by 8 dB or more and stays down for a second, or the
//   tone is lost on the way;
// - breathing: the level falls by 4 dB or more for 0.1 s and more and comes back, and meanwhile the noise beside the
//   tone is lower too (medians of the low and of the usual blocks). A dropout takes the tape's own hiss along, so only
//   what lasts half a second, or is there for an eighth of the time, is breathing.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

namespace four76 {

class LevelWatch {
 public:
  void reset() noexcept { *this = LevelWatch(); }
  // One knot: its time, the tone's amplitude, and the in-phase variance beside it (absolute, amplitude squared).
  void add(double time_s, double amplitude, double noise_power) noexcept;
  // The tone was lost.
  void lost() noexcept;

  [[nodiscard]] bool fades() const noexcept { return fades_ > 0; }
  [[nodiscard]] bool breathes() const noexcept;
  [[nodiscard]] double low_share() const noexcept;  // of the blocks, 4 dB or more under the usual level

 private:
  // Counts of a level in decibels, one bin a decibel; its quantiles.
  class Histogram {
   public:
    void add(double db) noexcept;
    void merge(const Histogram& other) noexcept;
    [[nodiscard]] double quantile_db(double share) const noexcept;
    [[nodiscard]] std::uint64_t count() const noexcept { return count_; }

   private:
    static constexpr int kLowestDb = -120;
    static constexpr std::size_t kBins = 160;
    std::array<std::uint32_t, kBins> bins_{};
    std::uint64_t count_ = 0;
  };

  void end_low_run() noexcept;
  void end_block(double time_s) noexcept;
  void watch_fade(double time_s, double below_db) noexcept;
  void watch_breath(double below_db, double noise_db) noexcept;
  [[nodiscard]] double usual_db() const noexcept;

  static constexpr std::size_t kKept = 200;  // 10 s
  static constexpr std::size_t kKnots = 5;
  std::array<float, kKept> levels_db_{};
  std::size_t kept_ = 0, next_ = 0;
  std::array<double, kKnots> noise_powers_{};
  double amplitude_sum_ = 0.0;
  std::size_t knots_ = 0;

  double last_high_s_ = -1.0;  // newest block near the usual level
  double slow_fall_s_ = -1.0;  // when a slow fall reached the bottom; below 0: none under way
  int fades_ = 0;

  std::uint64_t blocks_ = 0, low_blocks_ = 0;
  Histogram usual_noise_, low_noise_, low_run_noise_;
  std::uint64_t longest_low_run_ = 0;
  bool was_usual_ = false;
  int breaths_ = 0;
};

}  // namespace four76
