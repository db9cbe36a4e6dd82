#include "core/tone/wow_projection.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <utility>

#include "core/tone/segments.hpp"

namespace four76 {

namespace {

// The filters and the search leave some 30 ms at either end unseen; wow averages itself out over a longer gap.
constexpr double kUnseenEdgeS = 0.03;
constexpr double kGapCountsS = 0.6;
constexpr float kBlurredScatter = 0.05F;
constexpr std::size_t kMostBlurred = 20;

// The outermost knots whose phase is not blurred by a fade or a burst that begins or ends there.
std::pair<std::size_t, std::size_t> clear_ends(std::span<const PhaseKnot> knots, std::size_t first,
                                               std::size_t last) noexcept {
  const auto blurred = [&](std::size_t i) { return !knots[i].valid || knots[i].scatter > kBlurredScatter; };
  std::size_t a = first;
  std::size_t b = last;
  while (a < last && a < first + kMostBlurred && blurred(a)) ++a;
  while (b > a && b + kMostBlurred > last && blurred(b)) --b;
  if (!knots[a].valid || blurred(a)) a = first;
  if (!knots[b].valid || blurred(b)) b = last;
  return {a, b};
}

// Legendre's polynomials of x, one order after the other by Bonnet's recursion.
class Legendre {
 public:
  explicit Legendre(double x) noexcept : x_(x), now_(x) {}
  // From P_n to P_{n+1}; begins at P_1.
  void step() noexcept {
    const double next = ((2.0 * n_ + 1.0) * x_ * now_ - n_ * before_) / (n_ + 1.0);
    before_ = now_;
    now_ = next;
    n_ += 1.0;
  }
  [[nodiscard]] double order() const noexcept { return n_; }
  [[nodiscard]] double value() const noexcept { return now_; }
  // Integral of P_n from x to 1: (P_{n-1} - P_{n+1}) / (2n + 1).
  [[nodiscard]] double integral_above() const noexcept {
    const double next = ((2.0 * n_ + 1.0) * x_ * now_ - n_ * before_) / (n_ + 1.0);
    return (before_ - next) / (2.0 * n_ + 1.0);
  }

 private:
  double x_, now_, before_ = 1.0, n_ = 1.0;
};

// Two looks at the knots: how long the joined phase is, then the phase itself. Each segment begins at the phase at
// which the one before ended: nothing is known of the gap, and nothing is made of it.
class Projecting {
 public:
  Projecting(std::span<const PhaseKnot> knots, const MeanSpeed& mean) noexcept
      : knots_(knots), mean_(mean), seen_until_s_(mean.first_s) {}

  void measure_segment(std::size_t first, std::size_t last) noexcept {
    if (const auto ends = ends_of(first, last)) parts_.joined_s += length_s(ends->first, ends->second);
  }

  void add_segment(std::size_t first, std::size_t last) noexcept {
    const auto ends = ends_of(first, last);
    if (!ends) return;
    origin_ = first;
    look_for_gaps(first, last);
    const auto [a, b] = *ends;
    const PhaseKnot& from = knots_[a];
    if (parts_.plain_s > 0.0) add_join(1.0 / last_span_s_ + 1.0 / from.span_s);
    const double start = residual(a);
    double left_s = 0.0;  // of the time that a knot stands for
    std::size_t at = a;
    const auto cell = [&](double right_s) {
      const double middle_s = knots_[at].time_s - from.time_s + from.span_s / 2.0;
      add_to_orders(elapsed_s_ + middle_s, right_s - left_s, joined_cycles_ + residual(at) - start);
      left_s = right_s;
    };
    for (std::size_t i = a + 1; i <= b; ++i) {
      if (!knots_[i].valid) continue;
      if (knots_[i - 1].valid) add_deviation(i);
      cell((knots_[at].time_s + knots_[i].time_s) / 2.0 - from.time_s + from.span_s / 2.0);
      at = i;
    }
    cell(length_s(a, b));
    joined_cycles_ += residual(b) - start;
    elapsed_s_ += length_s(a, b);
    last_span_s_ = knots_[b].span_s;
    parts_.plain_s += knots_[b].time_s - from.time_s;
    parts_.ends_s += 1.0 / from.span_s + 1.0 / last_span_s_;
  }

  [[nodiscard]] WowProjection finish() noexcept {
    parts_.plain_hz = parts_.plain_s > 0.0 ? joined_cycles_ / parts_.plain_s : 0.0;
    parts_.slope_hz = parts_.joined_s > 0.0 ? 3.0 * first_order_ / parts_.joined_s : 0.0;
    parts_.deviation_hz = deviation_s_ > 0.0 ? std::sqrt(deviation_square_ / deviation_s_) : 0.0;
    parts_.unseen_s = std::sqrt(gap_square_);
    for (std::size_t j = 0; j < WowProjection::kMostOrders; ++j) {
      const double n = static_cast<double>(j) + 2.0;
      parts_.noise[j] += 4.0 / parts_.joined_s / (2.0 * n + 1.0) * kCyclesSquare;
    }
    return parts_;
  }

 private:
  // A knot's phase has a variance of N0/C / (2 span) square radians.
  static constexpr double kCyclesSquare = 1.0 / (8.0 * std::numbers::pi * std::numbers::pi);

  [[nodiscard]] std::optional<std::pair<std::size_t, std::size_t>> ends_of(std::size_t first,
                                                                           std::size_t last) const noexcept {
    while (first < last && !knots_[first].valid) ++first;
    if (first == last) return std::nullopt;
    while (!knots_[last - 1].valid) --last;
    return clear_ends(knots_, first, last - 1);
  }
  [[nodiscard]] double length_s(std::size_t a, std::size_t b) const noexcept {
    return knots_[b].time_s - knots_[a].time_s + (knots_[a].span_s + knots_[b].span_s) / 2.0;
  }
  [[nodiscard]] double residual(std::size_t i) const noexcept {
    return knots_[i].phase_cycles - knots_[origin_].phase_cycles -
           mean_.frequency_hz * (knots_[i].time_s - knots_[origin_].time_s);
  }
  // Before the first knot of a segment: the phase was not carried to here.
  void look_for_gaps(std::size_t first, std::size_t last) noexcept {
    bool is_first = true;
    for (std::size_t i = first; i < last; ++i) {
      const PhaseKnot& knot = knots_[i];
      if (!knot.valid) continue;
      const double gap_s = std::min(kGapCountsS, knot.time_s - knot.span_s / 2.0 - seen_until_s_);
      if (is_first && gap_s > 0.001) gap_square_ += gap_s * gap_s;
      is_first = false;
      seen_until_s_ = knot.time_s + knot.span_s / 2.0;
    }
  }
  void add_deviation(std::size_t i) noexcept {
    const double dt = knots_[i].time_s - knots_[i - 1].time_s;
    const double cycles = residual(i) - residual(i - 1);
    deviation_square_ += cycles * cycles / dt;
    deviation_s_ += dt;
  }
  [[nodiscard]] double place(double elapsed_s) const noexcept { return 2.0 * elapsed_s / parts_.joined_s - 1.0; }
  void add_to_orders(double elapsed_s, double span_s, double off_cycles) noexcept {
    const double weight = 2.0 / parts_.joined_s * span_s * off_cycles;
    Legendre p(place(elapsed_s));
    first_order_ += weight * p.value();
    for (double& b : parts_.b) {
      p.step();
      b += weight * p.value();
    }
  }
  // The noise of the two knots that meet there goes on as a step. Its projection is the integral of P_n behind it.
  void add_join(double inverse_spans) noexcept {
    Legendre p(place(elapsed_s_));
    for (double& noise : parts_.noise) {
      p.step();
      noise += kCyclesSquare * inverse_spans * p.integral_above() * p.integral_above();
    }
  }

  std::span<const PhaseKnot> knots_;
  const MeanSpeed& mean_;
  std::size_t origin_ = 0;  // of the segment
  WowProjection parts_;
  double first_order_ = 0.0, joined_cycles_ = 0.0;
  double elapsed_s_ = 0.0, last_span_s_ = 0.0, deviation_square_ = 0.0, deviation_s_ = 0.0;
  double gap_square_ = 2.0 * kUnseenEdgeS * kUnseenEdgeS;
  double seen_until_s_;
};

}  // namespace

double WowProjection::ends_hz(double noise_to_carrier) const noexcept {
  return plain_s > 0.0 ? std::sqrt(noise_to_carrier / 2.0 * ends_s) / (2.0 * std::numbers::pi) / plain_s : 0.0;
}

WowProjection project_wow(std::span<const PhaseKnot> knots, const MeanSpeed& mean) noexcept {
  Projecting projecting(knots, mean);
  for_each_segment(knots, [&](std::size_t first, std::size_t last) { projecting.measure_segment(first, last); });
  for_each_segment(knots, [&](std::size_t first, std::size_t last) { projecting.add_segment(first, last); });
  return projecting.finish();
}

}  // namespace four76
