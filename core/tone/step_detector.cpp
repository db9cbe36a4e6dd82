#include "core/tone/step_detector.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {

// A step below this moves a 10 s mean by less than 0.0003 % of 3000 Hz and hides in wow.
constexpr double kLeastStepCycles = 0.06;
constexpr double kStepOverUsual = 8.0;
// Of ten points the scatter seldom exceeds its usual value fourfold (chi-square with 9 degrees: 1 in 1e5).
constexpr double kNoisyLog = 1.4;
constexpr double kLeastScatter = 1e-7;
constexpr double kClicksLog = -3.9;  // a scatter of 0.02

// Speeds 50 ms apart that differ by more belong to a turn of the screw, not to lost samples.
constexpr double kSameSpeedShare = 0.01;

// The second lowest of nine knots, of their median level; and the scatter on both sides of the noisiest.
constexpr double kFadeShare = 0.65;
constexpr float kEdgeRatio = 1.6F;  // from one side to the other: a dropout begins or ends here
constexpr double kFadeScatter = 0.03;

// How much better a step of the phase must explain the knots than a kink (a step of the speed).
constexpr double kBetterThanKink = 4.0;

struct Line {
  double at_middle, slope;  // cycles, cycles a second
};

// Least squares through kSide knots, carried to time t = 0.
Line line_through(std::span<const PhaseKnot> knots, double zero_s, double zero_cycles) noexcept {
  double mean_t = 0.0;
  double mean_p = 0.0;
  for (const auto& k : knots) {
    mean_t += k.time_s - zero_s;
    mean_p += k.phase_cycles - zero_cycles;
  }
  const auto n = static_cast<double>(knots.size());
  mean_t /= n;
  mean_p /= n;
  double tt = 0.0;
  double tp = 0.0;
  for (const auto& k : knots) {
    const double t = k.time_s - zero_s - mean_t;
    tt += t * t;
    tp += t * (k.phase_cycles - zero_cycles - mean_p);
  }
  const double slope = tp / tt;
  return {mean_p - slope * mean_t, slope};
}

// Sum of squares left by the best fit of c0 + c1 x + c2 x^2 + c3 g(x), x = -4 to 4 without 0, by Gram and Schmidt.
template <typename G>
double left_over(const std::array<double, 8>& x, std::array<double, 8> y, G&& g) noexcept {
  std::array<std::array<double, 8>, 4> basis{};
  for (std::size_t i = 0; i < 8; ++i)
    basis[0][i] = 1.0, basis[1][i] = x[i], basis[2][i] = x[i] * x[i], basis[3][i] = g(x[i]);
  const auto product = [](const auto& a, const auto& b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < 8; ++i) sum += a[i] * b[i];
    return sum;
  };
  for (std::size_t k = 0; k < 4; ++k) {
    for (std::size_t j = 0; j < k; ++j) {
      const double share = product(basis[k], basis[j]);
      for (std::size_t i = 0; i < 8; ++i) basis[k][i] -= share * basis[j][i];
    }
    const double size = std::sqrt(product(basis[k], basis[k]));
    if (size < 1e-9) continue;
    for (double& v : basis[k]) v /= size;
    const double share = product(y, basis[k]);
    for (std::size_t i = 0; i < 8; ++i) y[i] -= share * basis[k][i];
  }
  return product(y, y);
}

}  // namespace

void StepDetector::reset() noexcept {
  count_ = given_ = judged_ = 0;
  mean_square_ = usual_log_scatter_ = 0.0;
  scatters_ = 0;
  // shift_ stays: numbers of segments must never come back.
  stepped_ = false;
}

bool StepDetector::whole_and_unbroken() const noexcept {
  return std::all_of(knots_.begin(), knots_.end(),
                     [&](const PhaseKnot& k) { return k.valid && k.segment == knots_[0].segment; });
}

bool StepDetector::kink_explains() const noexcept {
  std::array<double, 8> x{};
  std::array<double, 8> y{};
  std::size_t at = 0;
  for (std::size_t i = 0; i < kSpan; ++i) {
    if (i == kSide) continue;
    x[at] = static_cast<double>(i) - static_cast<double>(kSide);
    y[at++] = knots_[i].phase_cycles - knots_[kSide].phase_cycles;
  }
  const double step = left_over(x, y, [](double t) { return t > 0.0 ? 1.0 : 0.0; });
  double kink = 1e300;
  for (double knee = -3.5; knee < 4.0; knee += 0.5)
    kink = std::min(kink, left_over(x, y, [knee](double t) { return std::max(0.0, t - knee); }));
  return kink < kBetterThanKink * step;
}

// Speech and music break into the phase as well, but not without noise all around; and below some 42 dB-Hz the points'
// own noise turns by half a cycle now and then.
bool StepDetector::quiet_beside() const noexcept {
  if (usual_log_scatter_ > kClicksLog) return false;
  for (const std::size_t i : {std::size_t{1}, kSide - 2, kSide + 2, kSpan - 2})
    if (std::log(static_cast<double>(knots_[i].scatter) + kLeastScatter) > usual_log_scatter_ + kNoisyLog) return false;
  return true;
}

// In a live room the phase may turn by half a cycle within milliseconds, where direct sound and echo cancel; but there
// the level falls and rises again over some knots. Lost samples disturb one knot, and the next a little where they lie
// between two: the filters are 6 ms wide.
bool StepDetector::fades_beside() const noexcept {
  std::array<float, kSpan> levels{};
  for (std::size_t i = 0; i < kSpan; ++i) levels[i] = knots_[i].amplitude;
  std::sort(levels.begin(), levels.end());
  const auto usual = static_cast<double>(levels[kSpan / 2]);
  const float left = knots_[0].amplitude + knots_[1].amplitude;
  const float right = knots_[kSpan - 1].amplitude + knots_[kSpan - 2].amplitude;
  if (std::max(left, right) > kEdgeRatio * std::min(left, right)) return true;
  if (static_cast<double>(levels[1]) < kFadeShare * usual) return true;
  const auto noisiest = std::max_element(knots_.begin() + 1, knots_.end() - 1,
                                         [](const auto& a, const auto& b) { return a.scatter < b.scatter; });
  return static_cast<double>(std::min((noisiest - 1)->scatter, (noisiest + 1)->scatter)) > kFadeScatter;
}

void StepDetector::cut() noexcept {
  stepped_ = true;
  for (std::size_t i = kSide - 1; i <= kSide + 1; ++i) knots_[i].valid = false;
  for (std::size_t i = kSide + 1; i < kSpan; ++i) ++knots_[i].segment;
  ++shift_;
}

void StepDetector::judge_middle() noexcept {
  stepped_ = false;
  if (!whole_and_unbroken()) return;
  const std::span all(knots_);
  const PhaseKnot& middle = knots_[kSide];
  const Line left = line_through(all.first(kSide), middle.time_s, middle.phase_cycles);
  const Line right = line_through(all.last(kSide), middle.time_s, middle.phase_cycles);
  const double jump = right.at_middle - left.at_middle;
  const double usual = std::sqrt(mean_square_);
  const double log_scatter = std::log(static_cast<double>(middle.scatter) + kLeastScatter);
  usual_log_scatter_ += std::max(0.005, 1.0 / static_cast<double>(++scatters_)) * (log_scatter - usual_log_scatter_);
  if (fades_beside()) return;
  const bool enough_seen = judged_ > 20;
  if (enough_seen && std::abs(jump) > std::max(kLeastStepCycles, kStepOverUsual * usual) && !kink_explains()) {
    cut();
    return;
  }
  if (middle.broken && quiet_beside() && std::abs(right.slope - left.slope) < kSameSpeedShare * right.slope) {
    cut();
    return;
  }
  ++judged_;
  const double share = std::max(1.0 / static_cast<double>(judged_), 0.005);  // some two seconds
  mean_square_ += share * (jump * jump - mean_square_);
}

std::optional<PhaseKnot> StepDetector::add(const PhaseKnot& knot) noexcept {
  stepped_ = false;
  if (count_ == kSpan) {
    std::move(knots_.begin() + 1, knots_.end(), knots_.begin());
    --count_;
    if (given_ > 0) --given_;
  }
  knots_[count_] = knot;
  knots_[count_].segment += shift_;
  ++count_;
  if (count_ == kSpan) judge_middle();
  // A step voids the knot before the middle too: hold back one more than the middle.
  const std::size_t safe = kSide + 2;
  if (count_ - given_ < safe) return std::nullopt;
  return knots_[given_++];
}

}  // namespace four76
