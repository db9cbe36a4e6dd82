// LeadLine: the straight line through the leads of a delay track, and how well its slope is known.
//
// One slope for all, one offset a piece, reweighted by Tukey's biweight (1977; 6 times the median deviation) until it
// stands. A step that stands out of the leads and comes at once is a slip by a note's period: from there on they have
// an offset of their own. Of one that comes by and by, what it does to the slope is added to the uncertainty.
//
// Uncertainty: neighbouring points share their windows, and wow is no white noise. So what is left is projected on the
// Legendre polynomials P_2 to P_{K+1} over the tape, made orthogonal under the line's own weights to it and to each
// other (the slope is the projection on P_1): each looks at rates next to 0 Hz as the slope does, and is blind to the
// line. Their mean square is the slope's variance, and Student's t with K degrees of freedom says how well it is known
// (as MeanSpeedFit does with a tone). A point that moves pulls the line by the derivative of its weighted residual, not
// by its weight (Huber 1964).
#pragma once

#include <vector>

namespace four76 {

struct LeadPoint {
  double tape_s = 0.0;
  double lead_s = 0.0;
  int piece = 0;        // grows by one at each edit
  double weight = 1.0;  // 0 to 1, set by the fit
  double yields = 1.0;  // derivative of weight times residual by the residual, set by the fit
};

struct LeadLine {
  double slope = 0.0;
  double slope_u95 = 0.0;
  std::vector<double> middle_s, offset_s;  // of each piece

  [[nodiscard]] double residual_s(const LeadPoint& point) const noexcept;
};

// Sets the points' weights and, behind steps, their pieces. There is at least one point.
LeadLine line_through(std::vector<LeadPoint>& points);

}  // namespace four76
