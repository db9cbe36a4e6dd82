#include "core/tone/wow_projection.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
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

// Time runs over the trusted spans only, gaps closed; each segment's residual phase has its own offset taken out.
class Projecting {
 public:
  Projecting(std::span<const PhaseKnot> knots, const MeanSpeed& mean, std::size_t orders) noexcept
      : knots_(knots), mean_(mean), orders_(orders), seen_until_s_(mean.first_s) {}

  void add_segment(std::size_t first, std::size_t last) noexcept {
    origin_ = first;
    double offset = 0.0;
    double span_s = 0.0;
    std::size_t valid_first = last;
    std::size_t valid_last = first;
    for (std::size_t i = first; i < last; ++i) {
      if (!knots_[i].valid) continue;
      valid_first = std::min(valid_first, i);
      valid_last = i;
      offset += knots_[i].span_s * residual(i);
      span_s += knots_[i].span_s;
    }
    if (span_s <= 0.0) return;
    offset /= span_s;
    for (std::size_t i = first; i < last; ++i) {
      if (!knots_[i].valid) continue;
      look_for_gap(i, i == valid_first);
      if (i > first && knots_[i - 1].valid) add_deviation(i);
      add_to_orders(knots_[i].span_s, residual(i) - offset);
    }
    const auto [end_first, end_last] = clear_ends(knots_, valid_first, valid_last);
    parts_.plain_hz += residual(end_last) - residual(end_first);
    parts_.plain_s += knots_[end_last].time_s - knots_[end_first].time_s;
    parts_.ends_s += 1.0 / knots_[end_first].span_s + 1.0 / knots_[end_last].span_s;
  }
  [[nodiscard]] WowProjection finish() noexcept {
    parts_.plain_hz = parts_.plain_s > 0.0 ? parts_.plain_hz / parts_.plain_s : 0.0;
    parts_.deviation_hz = deviation_s_ > 0.0 ? std::sqrt(deviation_square_ / deviation_s_) : 0.0;
    parts_.unseen_s = std::sqrt(gap_square_);
    return parts_;
  }

 private:
  [[nodiscard]] double residual(std::size_t i) const noexcept {
    return knots_[i].phase_cycles - knots_[origin_].phase_cycles -
           mean_.frequency_hz * (knots_[i].time_s - knots_[origin_].time_s);
  }
  // Before the first knot of a segment: the phase was not carried to here.
  void look_for_gap(std::size_t i, bool is_first) noexcept {
    const PhaseKnot& knot = knots_[i];
    const double gap_s = std::min(kGapCountsS, knot.time_s - knot.span_s / 2.0 - seen_until_s_);
    if (is_first && gap_s > 0.001) gap_square_ += gap_s * gap_s;
    seen_until_s_ = knot.time_s + knot.span_s / 2.0;
  }
  void add_deviation(std::size_t i) noexcept {
    const double dt = knots_[i].time_s - knots_[i - 1].time_s;
    const double cycles = residual(i) - residual(i - 1);
    deviation_square_ += cycles * cycles / dt;
    deviation_s_ += dt;
  }
  void add_to_orders(double span_s, double off_cycles) noexcept {
    const double x = 2.0 * (elapsed_s_ + span_s / 2.0) / mean_.trusted_s - 1.0;
    elapsed_s_ += span_s;
    double before = 1.0;
    double now = x;
    for (std::size_t j = 0; j < orders_; ++j) {  // Bonnet's recursion
      const auto n = static_cast<double>(j + 1);
      const double next = ((2.0 * n + 1.0) * x * now - n * before) / (n + 1.0);
      before = now;
      now = next;
      parts_.b[j] += 2.0 / mean_.trusted_s * span_s * off_cycles * now;
    }
  }

  std::span<const PhaseKnot> knots_;
  const MeanSpeed& mean_;
  std::size_t orders_;
  std::size_t origin_ = 0;  // of the segment
  WowProjection parts_;
  double elapsed_s_ = 0.0, deviation_square_ = 0.0, deviation_s_ = 0.0;
  double gap_square_ = 2.0 * kUnseenEdgeS * kUnseenEdgeS;
  double seen_until_s_;
};

}  // namespace

double WowProjection::ends_hz(double noise_to_carrier) const noexcept {
  return plain_s > 0.0 ? std::sqrt(noise_to_carrier / 2.0 * ends_s) / (2.0 * std::numbers::pi) / plain_s : 0.0;
}

std::size_t wow_orders(double trusted_s) noexcept {
  if (trusted_s < 1.0) return 2;
  if (trusted_s < 20.0) return 4;
  return trusted_s < 60.0 ? 6 : WowProjection::kMostOrders;
}

double slope_weight(double n) noexcept {
  return 2.0 / ((2.0 * n + 1.0) * (2.0 * n + 1.0)) * (1.0 / (2.0 * n + 3.0) + 1.0 / (2.0 * n - 1.0));
}

WowProjection project_wow(std::span<const PhaseKnot> knots, const MeanSpeed& mean, std::size_t orders) noexcept {
  Projecting projecting(knots, mean, orders);
  for_each_segment(knots, [&](std::size_t first, std::size_t last) { projecting.add_segment(first, last); });
  return projecting.finish();
}

}  // namespace four76
