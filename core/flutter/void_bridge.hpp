// VoidBridge: carries the deviation across stretches where the tone could not be read, so that the filters see no step.
//
// - Up to 1 s: a straight line from the mean of the 20 ms before to that of the 20 ms after (single points are too
//   noisy to hold on to). The points are marked filled: they feed the filters and do not count.
// - Longer, or where nothing stands before it: the points are marked lost; behind them filters begin anew.
// A stretch of good points shorter than 20 ms between two voids belongs to the void.
//
// A difference of phases that reaches into a void is void as well: the caller marks it. What comes out has the same
// points in the same order; while a void lasts, and for 20 ms after, it is held back.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace four76 {

struct DeviationPoint {
  double percent = 0.0;  // of the nominal speed
  bool valid = true;
};

struct BridgedPoint {
  enum class Kind { sound, filled, lost };
  double percent = 0.0;
  Kind kind = Kind::sound;
};

class VoidBridge {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
  };
  static constexpr double kLongestS = 1.0;
  static constexpr double kSideS = 0.020;

  explicit VoidBridge(const Config& config);
  void reset() noexcept;
  // The points that are decided; they lie in the bridge's own memory until the next call.
  std::span<const BridgedPoint> add(const DeviationPoint& point) noexcept;

 private:
  [[nodiscard]] bool has_side() const noexcept { return before_count_ >= side_points_; }
  void remember(double percent) noexcept;
  void give_lost() noexcept;
  void land() noexcept;

  std::size_t side_points_, longest_points_;
  std::vector<double> before_;  // ring of the newest sound points
  std::size_t before_next_ = 0, before_count_ = 0;
  std::vector<BridgedPoint> held_;  // the void, and the sound points that follow it
  std::size_t held_count_ = 0, landed_ = 0;
  bool given_ = false;  // what is held has been given back
};

}  // namespace four76
