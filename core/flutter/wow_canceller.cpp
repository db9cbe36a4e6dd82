#include "core/flutter/wow_canceller.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace four76 {

namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr double kPointsHz = 50.0;
constexpr double kPointS = 1.0 / kPointsHz;
constexpr std::size_t kLookEvery = 25;   // points
constexpr std::size_t kFirstLook = 125;  // 2.5 s
constexpr double kMeanForgetsS = 3.0;
constexpr double kWowForgetsS = 3.0;
constexpr double kRateForgetsS = 3.0;
constexpr double kFirstVariance = 0.05;  // of a new part's cosine and sine, of a point's
constexpr double kMostVariance = 1e4;
constexpr double kForgetsShare = 1.0 / 200.0;  // of the regression: 4 s
constexpr double kDoubtPoints = 12.0;
constexpr double kLeastPercent = 0.003;
constexpr double kLeastShare = 0.25;
constexpr std::uint64_t kProbationPoints = 100;
constexpr double kLongestGapS = 1.5;
constexpr double kClosest_hz = 0.08;

// Variance a point of a random walk whose filter, once settled, forgets over that time: q = g^2, g = 1 / (T rate), in
// units of a point's variance.
double walk(double forgets_s) noexcept {
  const double gain = kPointS / forgets_s;
  return gain * gain;
}

// What the difference of two phases 20 ms apart leaves of a wow.
double pair_gain(double rate_hz) noexcept {
  const double x = std::numbers::pi * rate_hz * kPointS;
  return std::sin(x) / x;
}

}  // namespace

WowCanceller::WowCanceller(const Config& config)
    : config_(config),
      rates_({.points_hz = kPointsHz}),
      covariance_(kMostStates * kMostStates),
      history_(kMemory),
      history_valid_(kMemory),
      left_(kMemory) {}

void WowCanceller::reset() noexcept {
  steps_.reset();
  has_first_ = pair_valid_ = false;
  knots_ = arrived_ = parts_count_ = 0;
  state_.fill(0.0);
  std::fill(covariance_.begin(), covariance_.end(), 0.0);
  innovation_square_ = filtered_time_s_ = 0.0;
  filtered_ = 0;
  std::fill(history_.begin(), history_.end(), 0.0F);
  std::fill(history_valid_.begin(), history_valid_.end(), std::uint8_t{0});
}

// Every second knot ends a point: the difference of the phases over 20 ms.
void WowCanceller::add(const PhaseKnot& knot) noexcept {
  if (has_first_ && knot.time_s - before_.time_s > kLongestGapS) reset();
  if (!has_first_) {
    first_ = before_ = knot;
    has_first_ = true;
    knots_ = 0;
    pair_valid_ = knot.valid;
    return;
  }
  pair_valid_ = pair_valid_ && knot.valid && knot.segment == first_.segment;
  before_ = knot;
  if (++knots_ < 2) return;
  const double apart_s = knot.time_s - first_.time_s;
  Point point{.time_s = (knot.time_s + first_.time_s) / 2.0, .percent = 0.0, .valid = false};
  if (pair_valid_ && apart_s > 0.0 && apart_s < 2.0 * kPointS) {
    point.percent = 100.0 * ((knot.phase_cycles - first_.phase_cycles) / apart_s / config_.nominal_hz - 1.0);
    point.valid = true;
  }
  first_ = knot;
  knots_ = 0;
  pair_valid_ = knot.valid;
  take(point);
}

void WowCanceller::take(const Point& point) noexcept {
  waiting_[arrived_++ % waiting_.size()] = point;
  const double on_s = point.time_s - filtered_time_s_;
  // A void goes by as what was expected.
  const double left = point.valid ? point.percent - (filtered_ > 0 ? wow_at(on_s) : 0.0) : state_[0];
  const bool moves = steps_.add(left);
  if (arrived_ <= StepWatch::kDelay) return;
  filter(waiting_[(arrived_ - 1 - StepWatch::kDelay) % waiting_.size()], moves, steps_.difference_percent());
}

void WowCanceller::filter(const Point& point, bool moves, double step_percent) noexcept {
  if (filtered_ == 0) {
    if (!point.valid) return;
    state_[0] = point.percent;
    covariance(0, 0) = 1.0;
  }
  const double on_s = filtered_ == 0 ? 0.0 : point.time_s - filtered_time_s_;
  filtered_time_s_ = point.time_s;
  regressor_[0] = 1.0;
  for (std::size_t i = 0; i < parts_count_; ++i) {
    Part& part = parts_[i];
    part.angle = std::remainder(part.angle + kTwoPi * part.rate_hz * on_s, kTwoPi);
    regressor_[1 + 2 * i] = std::cos(part.angle);
    regressor_[2 + 2 * i] = std::sin(part.angle);
  }
  // The mean is a random walk. Where it is seen to move it is set free, and takes all of the step.
  const double free = moves ? step_percent * step_percent / std::max(innovation_square_, 1e-12) : 0.0;
  covariance(0, 0) = std::min(kMostVariance, covariance(0, 0) + walk(kMeanForgetsS) + free);
  for (std::size_t i = 1; i < states(); ++i) covariance(i, i) += 2.0 * walk(kWowForgetsS);
  if (point.valid) {
    if (!moves) foretell(point.percent - state_[0]);
    update(point.percent);
    if (!moves) follow_rates();
  }
  for (std::size_t i = 0; i < parts_count_; ++i) {
    Part& part = parts_[i];
    part.cosines[part.age_points % kForetold] = static_cast<float>(state_[1 + 2 * i]);
    part.sines[part.age_points % kForetold] = static_cast<float>(state_[2 + 2 * i]);
    ++part.age_points;
  }
  const std::size_t at = filtered_ % kMemory;
  history_[at] = point.valid ? static_cast<float>(point.percent - state_[0]) : 0.0F;
  history_valid_[at] = point.valid && !moves;
  ++filtered_;
  if (filtered_ >= kFirstLook && filtered_ % kLookEvery == 0) {
    drop_faded();
    look_for_rates();
  }
}

// Compares what each part was predicted to be, half a second ago, with what came.
void WowCanceller::foretell(double left_percent) noexcept {
  std::array<double, kMostParts> told{};
  double all = 0.0;
  for (std::size_t i = 0; i < parts_count_; ++i) {
    const Part& part = parts_[i];
    if (part.age_points < kForetold) continue;
    const std::size_t oldest = part.age_points % kForetold;
    told[i] = static_cast<double>(part.cosines[oldest]) * regressor_[1 + 2 * i] +
              static_cast<double>(part.sines[oldest]) * regressor_[2 + 2 * i];
    all += told[i];
  }
  for (std::size_t i = 0; i < parts_count_; ++i) {
    Part& part = parts_[i];
    if (part.age_points < kForetold) continue;
    const double came = left_percent - (all - told[i]);
    part.seen_square += -kForgetsShare * part.seen_square + told[i] * told[i];
    part.seen_product += -kForgetsShare * part.seen_product + told[i] * came;
    part.seen_left += -kForgetsShare * part.seen_left + (came - told[i]) * (came - told[i]);
  }
}

void WowCanceller::update(double percent) noexcept {
  const std::size_t n = states();
  double expected = 0.0;
  double spread = 1.0;
  for (std::size_t i = 0; i < n; ++i) {
    expected += regressor_[i] * state_[i];
    double sum = 0.0;
    for (std::size_t j = 0; j < n; ++j) sum += covariance(i, j) * regressor_[j];
    gain_[i] = sum;
    spread += regressor_[i] * sum;
  }
  const double innovation = percent - expected;
  const double share = filtered_ < 100 ? 0.02 : 0.005;
  innovation_square_ += share * (innovation * innovation / spread - innovation_square_);
  for (std::size_t i = 0; i < n; ++i) {
    const double g = gain_[i] / spread;
    state_[i] += g * innovation;
    for (std::size_t j = i; j < n; ++j) {
      covariance(i, j) -= g * gain_[j];
      covariance(j, i) = covariance(i, j);
    }
  }
  // How far each part's phase was turned by this point: see follow_rates().
  for (std::size_t i = 1; i < n; ++i) gain_[i] = gain_[i] / spread * innovation;
}

// A rate that is slightly off makes cosine and sine rotate. That rotation, slowly integrated, corrects the rate.
void WowCanceller::follow_rates() noexcept {
  for (std::size_t i = 0; i < parts_count_; ++i) {
    const double c = state_[1 + 2 * i];
    const double s = state_[2 + 2 * i];
    const double square = c * c + s * s;
    if (square < kLeastPercent * kLeastPercent) continue;
    const double turned = (c * gain_[2 + 2 * i] - s * gain_[1 + 2 * i]) / square;
    Part& part = parts_[i];
    part.rate_hz -= std::clamp(turned, -0.1, 0.1) / kTwoPi / kRateForgetsS;
  }
}

double WowCanceller::amplitude(std::size_t part) const noexcept {
  return std::hypot(state_[1 + 2 * part], state_[2 + 2 * part]);
}

double WowCanceller::share(const Part& part) const noexcept {
  const double doubt = kDoubtPoints * part.seen_left * kForgetsShare;
  const double square = part.seen_square + doubt;
  return square > 0.0 ? std::clamp(part.seen_product / square, 0.0, 1.0) : 0.0;
}

double WowCanceller::wow_at(double seconds_on) const noexcept {
  double sum = 0.0;
  for (std::size_t i = 0; i < parts_count_; ++i) {
    const double angle = parts_[i].angle + kTwoPi * parts_[i].rate_hz * seconds_on;
    sum += state_[1 + 2 * i] * std::cos(angle) + state_[2 + 2 * i] * std::sin(angle);
  }
  return sum;
}

void WowCanceller::drop_part(std::size_t index) noexcept {
  const std::size_t at = 1 + 2 * index;
  const std::size_t n = states();
  for (std::size_t row = 0; row < n; ++row)
    for (std::size_t column = at; column + 2 < n; ++column) covariance(row, column) = covariance(row, column + 2);
  for (std::size_t row = at; row + 2 < n; ++row)
    for (std::size_t column = 0; column < n; ++column) covariance(row, column) = covariance(row + 2, column);
  for (std::size_t i = at; i + 2 < n; ++i) state_[i] = state_[i + 2];
  std::move(parts_.begin() + static_cast<std::ptrdiff_t>(index) + 1,
            parts_.begin() + static_cast<std::ptrdiff_t>(parts_count_),
            parts_.begin() + static_cast<std::ptrdiff_t>(index));
  --parts_count_;
}

void WowCanceller::drop_faded() noexcept {
  for (std::size_t i = parts_count_; i-- > 0;) {
    const Part& part = parts_[i];
    const bool astray = part.rate_hz < 0.2 || part.rate_hz > 13.0;
    const bool useless = part.age_points > kProbationPoints && share(part) < kLeastShare;
    const bool faint = part.age_points > kProbationPoints && amplitude(i) < kLeastPercent;
    bool twin = false;
    for (std::size_t j = 0; j < parts_count_; ++j)
      twin =
          twin || (j != i && std::abs(parts_[j].rate_hz - part.rate_hz) < kClosest_hz && amplitude(j) > amplitude(i));
    if (astray || useless || faint || twin) drop_part(i);
  }
}

// What the known parts leave of the newest ten seconds.
void WowCanceller::look_for_rates() noexcept {
  if (parts_count_ == kMostParts) return;
  const auto length = static_cast<std::size_t>(std::min<std::uint64_t>(filtered_, kMemory));
  const std::span<float> left = std::span(left_).first(length);
  for (std::size_t i = 0; i < length; ++i) {
    const std::size_t at = (filtered_ + kMemory - length + i) % kMemory;
    left[i] = history_valid_[at] != 0 ? history_[at] : 0.0F;
  }
  for (std::size_t p = 0; p < parts_count_; ++p) {
    const double step = kTwoPi * parts_[p].rate_hz * kPointS;
    const double first = parts_[p].angle - step * static_cast<double>(length - 1);
    for (std::size_t i = 0; i < length; ++i) {
      const std::size_t at = (filtered_ + kMemory - length + i) % kMemory;
      if (history_valid_[at] == 0) continue;
      const double angle = first + step * static_cast<double>(i);
      left[i] -= static_cast<float>(state_[1 + 2 * p] * std::cos(angle) + state_[2 + 2 * p] * std::sin(angle));
    }
  }
  for (const WowSine& sine : rates_.find(left)) add_part(sine);
}

void WowCanceller::add_part(const WowSine& sine) noexcept {
  if (parts_count_ == kMostParts || std::hypot(sine.cosine_percent, sine.sine_percent) < kLeastPercent) return;
  for (std::size_t i = 0; i < parts_count_; ++i)
    if (std::abs(parts_[i].rate_hz - sine.rate_hz) < kClosest_hz) return;
  const std::size_t at = 1 + 2 * parts_count_;
  parts_[parts_count_] = {.rate_hz = sine.rate_hz};
  ++parts_count_;
  for (std::size_t i = 0; i < states(); ++i)
    for (std::size_t j : {at, at + 1}) covariance(i, j) = covariance(j, i) = 0.0;
  state_[at] = sine.cosine_percent;
  state_[at + 1] = sine.sine_percent;
  covariance(at, at) = covariance(at + 1, at + 1) = kFirstVariance;
}

void WowCanceller::clean(std::span<PhaseKnot> knots) const noexcept {
  for (std::size_t i = 0; i < parts_count_; ++i) {
    const Part& part = parts_[i];
    const double g = share(part) / pair_gain(part.rate_hz) * config_.nominal_hz / 100.0 / (kTwoPi * part.rate_hz);
    if (g == 0.0) continue;
    for (PhaseKnot& knot : knots) {
      const double angle = part.angle + kTwoPi * part.rate_hz * (knot.time_s - filtered_time_s_);
      knot.phase_cycles -= g * (state_[1 + 2 * i] * std::sin(angle) - state_[2 + 2 * i] * std::cos(angle));
    }
  }
}

}  // namespace four76
