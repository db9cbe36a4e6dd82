// Drift: how the speed moves over minutes, below wow: the slope of a straight line through the deviation.
//
// DriftRecord keeps means of a second and more, neighbours merged in pairs when it is full (constant memory, any
// length), or the newest so many seconds. The line goes through them by least squares, each weighing as the points in
// it. Its uncertainty comes from how they scatter about it: Student's t, widened where neighbours scatter alike (first
// autocorrelation r of the residuals: by sqrt((1 + r) / (1 - r)), common practice), so that slow wow is told from
// drift.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace four76 {

struct Drift {
  double percent_per_minute = 0.0;
  double u95_percent_per_minute = 0.0;
  double span_s = 0.0;  // that it was seen over
};

struct DriftBlock {
  double time_s = 0.0;  // mean over its points
  double percent = 0.0;
  double points = 0.0;
};

// Nothing from fewer than 5 blocks.
std::optional<Drift> fit_drift(std::span<const DriftBlock> blocks) noexcept;
// The newest blocks, from where the speed last jumped: somebody turned the trimmer, and a line through a jump would be
// no drift. A jump: the medians of three blocks either side lie 0.15 % apart or more (less is not heard), six times as
// far as neighbours usually do, and three times as far as somewhere within six blocks of there: a machine that warms up
// moves by and by.
std::span<const DriftBlock> since_last_jump(std::span<const DriftBlock> blocks) noexcept;

struct SettledDrift {
  std::optional<Drift> drift;          // of what came after the last jump
  std::optional<double> since_jump_s;  // nothing where there was none
};
SettledDrift settled_drift(std::span<const DriftBlock> blocks) noexcept;

class DriftRecord {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
    std::size_t newest_blocks = 0;  // of a second each, below kCapacity; 0: everything
  };
  static constexpr std::size_t kCapacity = 256;

  explicit DriftRecord(const Config& config);
  void reset() noexcept;
  // A point of deviation; `sound` is false where it does not count but time passes.
  void add(double percent, bool sound) noexcept;
  [[nodiscard]] std::span<const DriftBlock> blocks() const noexcept { return {blocks_.data(), size_}; }

 private:
  void store() noexcept;
  void forget_before(double oldest_s) noexcept;
  void merge_pairs() noexcept;
  double point_rate_hz_;
  std::size_t newest_blocks_, block_points_, first_block_points_;
  std::vector<DriftBlock> blocks_;
  std::size_t size_ = 0;
  DriftBlock filling_;  // sums, not means
  std::size_t passed_ = 0;
  double time_points_ = 0.0;
};

}  // namespace four76
