// WowCanceller: learns the periodic part of the wow while it plays, so that the live dial can stand still.
//
//   knots --> points of deviation, 50 a second --> [0.3 s] --> Kalman filter --> rates, cosines, sines
//                        +--> StepWatch: where the mean moves --^                  |
//                                                                                  v
//   knots of the dial's window ------------- less the phase of the wow ----------> fit
//
// - The filter's state is the mean and, for each known rate, a cosine and a sine (a Kalman filter: a least-squares fit
//   that forgets over 3 s). Its rates follow by the turning of those two.
// - It runs 0.3 s late, so that a step of the mean is seen coming: there the mean is set free, and the step does not
//   enter the wow. The dial's own window is never delayed by this: a step shows in it as fast as without.
// - New rates come from the spectrum of what is left (WowRates), twice a second; those that fade are dropped.
// - Never worse than the plain reading: of each part only the share g is taken out that would have been right over the
//   last seconds: the regression of what came on what had been predicted half a second before. Random wow cannot be
//   predicted, and is left in.
//
// Wow above 12 Hz the window averages out; below 0.25 Hz it is left in.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "core/flutter/step_watch.hpp"
#include "core/flutter/wow_rates.hpp"
#include "core/tone/phase_knot.hpp"

namespace four76 {

class WowCanceller {
 public:
  struct Config {
    double nominal_hz = 3000.0;
  };
  explicit WowCanceller(const Config& config);
  void reset() noexcept;

  // The next checked knot, void ones too.
  void add(const PhaseKnot& knot) noexcept;
  // Takes the phase of the wow out of knots, as far as it is known and to be trusted.
  void clean(std::span<PhaseKnot> knots) const noexcept;

 private:
  static constexpr std::size_t kMostParts = 12;
  static constexpr std::size_t kMostStates = 1 + 2 * kMostParts;
  static constexpr std::size_t kForetold = 25;  // points: half a second
  static constexpr std::size_t kMemory = WowRates::kLongest;
  struct Point {
    double time_s = 0.0, percent = 0.0;
    bool valid = false;
  };
  struct Part {
    double rate_hz = 0.0, angle = 0.0;                // of its cosine at the newest filtered point, radians
    std::array<float, kForetold> cosines{}, sines{};  // ring: what they were
    std::uint64_t age_points = 0;
    double seen_square = 0.0, seen_product = 0.0;  // of the foretold, and with what came
    double seen_left = 0.0;                        // square of what came less the foretold
  };
  void take(const Point& point) noexcept;
  void filter(const Point& point, bool moves, double step_percent) noexcept;
  void foretell(double left_percent) noexcept;
  void update(double percent) noexcept;
  void follow_rates() noexcept;
  void look_for_rates() noexcept;
  void add_part(const WowSine& sine) noexcept;
  void drop_part(std::size_t index) noexcept;
  void drop_faded() noexcept;
  [[nodiscard]] double wow_at(double seconds_on) const noexcept;
  [[nodiscard]] double amplitude(std::size_t part) const noexcept;
  [[nodiscard]] double share(const Part& part) const noexcept;
  double& covariance(std::size_t row, std::size_t column) noexcept { return covariance_[row * kMostStates + column]; }
  [[nodiscard]] std::size_t states() const noexcept { return 1 + 2 * parts_count_; }

  Config config_;
  WowRates rates_;
  StepWatch steps_;

  PhaseKnot before_, first_;  // the last two knots' ends of the pair being built
  bool has_first_ = false;
  std::size_t knots_ = 0;
  bool pair_valid_ = false;

  std::array<Point, StepWatch::kDelay + 1> waiting_{};  // ring
  std::size_t arrived_ = 0;

  std::array<Part, kMostParts> parts_{};
  std::size_t parts_count_ = 0;
  std::array<double, kMostStates> state_{};  // mean, then cosine and sine of each part; percent
  std::array<double, kMostStates> regressor_{}, gain_{};
  std::vector<double> covariance_;  // relative to the variance of a point
  double innovation_square_ = 0.0;  // of a point
  std::uint64_t filtered_ = 0;
  double filtered_time_s_ = 0.0;

  std::vector<float> history_;  // ring: deviation less the mean, by filtered points; void as 0
  std::vector<std::uint8_t> history_valid_;
  std::vector<float> left_;
};

}  // namespace four76
