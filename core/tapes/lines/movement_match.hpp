// MovementMatch: does a line move as the machine does? Bayes' factor of "on the tape" against "in the room".
//
// d: the line's step of ln frequency, s: the machine's step as the music's partials tell it. True movement of variance
// V.
//
//   on the tape   var d = V + D,  var s = b^2 V + k S,  cov = g b V
//   in the room   var d = D,      var s = b^2 V + k S,  cov = 0
//
// Both Gaussian. S is the variance that the partials claim, k what that is off by; b: the partials' windows smooth what
// is fast; g: their times do not quite agree. D takes its likeliest value; k, b and g are summed over, with the same
// weights in both. A line that is stiller than V is none of the tape's. A machine that does not move leaves the factor
// near 1, or below: that k is just what lets V be 0 is a little less likely.
#pragma once

namespace four76 {

class MovementMatch {
 public:
  void reset() noexcept { *this = {}; }
  // One step of both, and the variance that is claimed for the machine's.
  void add(double line_step, double machine_step, double machine_variance) noexcept;

  [[nodiscard]] double count() const noexcept { return count_; }
  // ln P(steps | on the tape) - ln P(steps | in the room)
  [[nodiscard]] double log_factor() const noexcept;

 private:
  double count_ = 0.0, line_ = 0.0, both_ = 0.0, machine_ = 0.0, claimed_ = 0.0;  // sums of squares and products
};

// From the prior odds and a log of Bayes' factor.
[[nodiscard]] double probability_of(double prior_odds, double log_factor) noexcept;

}  // namespace four76
