// Drift: how the speed moves over minutes, below wow: the slope of a straight line through the deviation.
//
// DriftRecord keeps means of a second and more, neighbours merged in pairs when it is full (constant memory, any
// length), or the newest so many seconds. The line goes through them by least squares, each weighted by its number
// of points. Its uncertainty comes from how they scatter about it: Student's t, widened by sqrt((1 + r) / (1 - r))
// where neighbours scatter alike (r: first autocorrelation of the residuals; common practice), so that slow wow does
// not pass for drift.
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
// The newest blocks, from the last jump on. A jump is a trimmer that was turned, and a line through it would be no
// drift. At a jump the medians of three blocks to either side lie
// - at least 0.15 % apart (less is not heard),
// - six times as far apart as neighbouring blocks usually lie,
// - three times as far apart as at some place three to six blocks away: a machine that warms up moves steadily and has
//   no such place.
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
