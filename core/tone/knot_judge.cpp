#include "core/tone/knot_judge.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {
constexpr double kQuietShare = 0.7;  // below it a room's own nulls make the scatter
constexpr double kDisturbedScatter = 0.1;
constexpr double kDisturbedLog = 1.8;         // six times the usual
constexpr std::size_t kLostSamplesKnots = 2;  // so many knots lost samples disturb: StepDetector's business
constexpr double kSlowShare = 0.003;          // of a knot: some three seconds
constexpr double kHopelessScatter = 1.0;      // of a point; the ten of a knot together still carry its phase
constexpr double kLeastCoherence = 0.35;
}  // namespace

void KnotJudge::lock() noexcept {
  time_before_lock_ = time_;
  knots_since_lock_ = disturbed_run_ = 0;
  coherence_ = 1.0;
  reference_amplitude_ = pending_dropout_s_ = 0.0;
}

bool KnotJudge::faded(const PhaseKnot& knot, double share) const noexcept {
  return reference_amplitude_ > 0.0 && static_cast<double>(knot.amplitude) < share * reference_amplitude_;
}

bool KnotJudge::incoherent() const noexcept { return coherence_ < kLeastCoherence; }

bool KnotJudge::disturbs_for_long(const PhaseKnot& knot) noexcept {
  const double log_scatter = std::log(static_cast<double>(knot.scatter) + 1e-9);
  if (knots_since_lock_ <= 1) usual_log_scatter_ = log_scatter;
  const bool far_above = log_scatter > std::max(std::log(kDisturbedScatter), usual_log_scatter_ + kDisturbedLog);
  const double share = far_above ? kSlowShare : std::max(0.01, 1.0 / static_cast<double>(knots_since_lock_));
  usual_log_scatter_ += share * (log_scatter - usual_log_scatter_);
  disturbed_run_ = far_above ? disturbed_run_ + 1 : 0;
  return disturbed_run_ > kLostSamplesKnots;
}

bool KnotJudge::judge(const PhaseKnot& knot, bool lost) noexcept {
  ++knots_since_lock_;
  const double quality = 1.0 / (1.0 + 2.0 * static_cast<double>(knot.scatter));
  coherence_ += 0.04 * (quality - coherence_);
  if (lost) {
    time_.gap_s += knot.span_s;
    return false;
  }
  const bool is_faded = faded(knot, kDropoutShare);
  if (is_faded) pending_dropout_s_ += knot.span_s;
  if (!faded(knot, kQuietShare) && disturbs_for_long(knot)) {
    time_.noisy_s += knot.span_s;
    return false;
  }
  if (static_cast<double>(knot.scatter) > kHopelessScatter) {
    if (!is_faded) time_.noisy_s += knot.span_s;
    return false;
  }
  if (is_faded) return true;
  const double share = std::max(0.02, 1.0 / static_cast<double>(knots_since_lock_));  // half a second
  reference_amplitude_ += share * (static_cast<double>(knot.amplitude) - reference_amplitude_);
  time_.good_s += knot.span_s;
  time_.dropout_s += pending_dropout_s_;  // the tone came back: it was a dropout, not its end
  pending_dropout_s_ = 0.0;
  return true;
}

}  // namespace four76
