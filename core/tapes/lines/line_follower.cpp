#include "core/tapes/lines/line_follower.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {

constexpr double kLineOverFloor = 20.0;  // q: common practice, a line that stands out of one spectrum
constexpr double kQuiet = 0.3,
                 kQuietStep = 0.2;      // the quantile of the floor at which a line has that ratio; of ln power
constexpr float kMaxScore = 5.0F;       // so that one burst decides nothing
constexpr float kBesideScore = -0.5F;   // where another line stands: less than a line, more than none
constexpr double kBesideBins = 2.5;     // half the width of Hann's main lobe, and a half
constexpr float kSpread = 0.05F;        // to each neighbour: the steps' own error, 0.02 % at bins of 0.075 %
constexpr float kAnywhere = 1e-4F;      // a line may begin at any time
constexpr double kMaxEvidence = 150.0;  // a line that ends is let go within seconds
constexpr double kFollowed = 20.0;      // ln of the odds for a line: e^20 to one
constexpr float kSureOfPlace = 0.8F;    // of the belief within two bins
constexpr double kHeardFrames = 180.0;  // 7.5 s: longer than notes are held
constexpr double kHeardFraction = 0.5;  // of the frames since the first of the line
constexpr float kTelling = 1.0F;        // frames of a lower ratio (q = 1.7) do not count as without the line
constexpr double kElsewhere = 0.01;     // another recording's line: recorded on another machine
constexpr std::ptrdiff_t kFloorReach = 20, kFloorStep = 8;
constexpr double kMedianOfExponential = 0.693;

}  // namespace

LineFollower::LineFollower(const Config& config) noexcept : config_(config) {
  const auto bin = [&](double hz) { return 128.0 + (hz - config.centre_hz) / config.bin_hz; };
  first_ = static_cast<std::size_t>(std::clamp(std::ceil(bin(config.lowest_hz)), 3.0, 252.0));
  last_ = static_cast<std::size_t>(std::clamp(std::floor(bin(config.highest_hz)), 3.0, 252.0));
  reset();
}

void LineFollower::reset() noexcept {
  belief_.fill(0.0F);
  std::fill(belief_.begin() + static_cast<std::ptrdiff_t>(first_),
            belief_.begin() + static_cast<std::ptrdiff_t>(last_ + 1), 1.0F / static_cast<float>(last_ - first_ + 1));
  evidence_ = 0.0;
  forget_sums();
}

void LineFollower::forget_sums() noexcept {
  previous_.reset();
  count_ = seen_ = mean_log_ = squares_ = noise_ = 0.0;
  all_ = 0.0;
  match_.reset();
}

// The median of the bins beside, at each eighth bin, and straight lines between.
void LineFollower::find_floor(std::span<const float, kBins> power) noexcept {
  const auto lowest = static_cast<std::ptrdiff_t>(first_), highest = static_cast<std::ptrdiff_t>(last_);
  std::array<float, 2 * kFloorReach + 1> beside;
  float before = 0.0F;
  for (std::ptrdiff_t at = lowest;; at += kFloorStep) {
    const std::ptrdiff_t from = std::clamp(at - kFloorReach, lowest, highest - 2 * kFloorReach);
    std::copy_n(power.begin() + from, beside.size(), beside.begin());
    const float here = std::max(1e-20F, median_of(std::span<float>(beside)) / static_cast<float>(kMedianOfExponential));
    if (at == lowest) before = here;
    for (std::ptrdiff_t k = std::max(lowest, at - kFloorStep); k <= std::min(at, highest); ++k)
      floor_[static_cast<std::size_t>(k)] =
          std::lerp(here, before, static_cast<float>(at - k) / static_cast<float>(kFloorStep));
    before = here;
    if (at >= highest) return;
  }
}

// A quantile followed by unequal steps: up by kQuiet where the floor is higher, down by the rest where it is lower.
void LineFollower::find_ratio() noexcept {
  double log_sum = 0.0;
  int count = 0;
  for (std::size_t k = first_; k <= last_; k += kFloorStep, ++count)
    log_sum += std::log(static_cast<double>(floor_[k]));
  const double here = log_sum / count;
  if (!quiet_floor_log_) quiet_floor_log_ = here;
  *quiet_floor_log_ += kQuietStep * (here > *quiet_floor_log_ ? kQuiet : kQuiet - 1.0);
  const double ratio = kLineOverFloor * std::min(1.0, std::exp(*quiet_floor_log_ - here));
  slope_ = static_cast<float>(ratio / (1.0 + ratio));
  offset_ = static_cast<float>(std::log1p(ratio));
}

float LineFollower::score(float over_floor) const noexcept {
  return std::min(kMaxScore, over_floor * slope_ - offset_);
}

void LineFollower::expect(double step) noexcept {
  for (std::size_t k = first_; k <= last_; ++k) {
    const double hz = config_.centre_hz + (static_cast<double>(k) - 128.0) * config_.bin_hz;
    const double from = static_cast<double>(k) - step * hz / config_.bin_hz;
    const double whole = std::floor(from);
    const auto below = static_cast<std::ptrdiff_t>(whole);
    const auto part = static_cast<float>(from - whole);
    const auto at = [&](std::ptrdiff_t i) {
      return i < static_cast<std::ptrdiff_t>(first_) || i > static_cast<std::ptrdiff_t>(last_)
                 ? 0.0F
                 : belief_[static_cast<std::size_t>(i)];
    };
    moved_[k] = std::lerp(at(below), at(below + 1), part);
  }
  const float fresh = kAnywhere / static_cast<float>(last_ - first_ + 1);
  for (std::size_t k = first_; k <= last_; ++k) {
    const float left = k > first_ ? moved_[k - 1] : 0.0F, right = k < last_ ? moved_[k + 1] : 0.0F;
    belief_[k] = (1.0F - kAnywhere) * ((1.0F - 2.0F * kSpread) * moved_[k] + kSpread * (left + right)) + fresh;
  }
}

void LineFollower::take(const Frame& frame) noexcept {
  find_floor(frame.power);
  find_ratio();
  expect(frame.expected_step);
  float sum = 0.0F;
  for (std::size_t k = first_; k <= last_; ++k) {
    const double hz = config_.centre_hz + (static_cast<double>(k) - 128.0) * config_.bin_hz;
    const bool beside =
        frame.not_at_hz && std::abs(hz - *frame.not_at_hz) < kBesideBins * config_.bin_hz + frame.smeared_hz;
    belief_[k] *= std::exp(beside ? kBesideScore : score(frame.power[k] / floor_[k]));
    sum += belief_[k];
  }
  for (std::size_t k = first_; k <= last_; ++k) belief_[k] /= sum;
  evidence_ = std::clamp(evidence_ + static_cast<double>(std::log(sum)), 0.0, kMaxEvidence);
  auto peak = peak_of(frame.power);
  if (peak && frame.not_at_hz &&
      std::abs(peak->hz - *frame.not_at_hz) < kBesideBins * config_.bin_hz + frame.smeared_hz)
    peak.reset();
  if (seen_ > 0.0) all_ += 1.0;
  if (seen_ > 0.0 && offset_ > kTelling) seen_ += 1.0;
  if (peak && evidence_ > kFollowed)
    add(*peak, frame);
  else
    previous_.reset();
}

// Where the belief is gathered and the power stands out; between bins by the parabola through the powers' logarithms.
std::optional<LineFollower::Peak> LineFollower::peak_of(std::span<const float, kBins> power) const noexcept {
  const auto likeliest = static_cast<std::size_t>(std::max_element(belief_.begin(), belief_.end()) - belief_.begin());
  if (likeliest < first_ + 3 || likeliest + 3 > last_) return std::nullopt;
  const float near = std::accumulate(belief_.begin() + static_cast<std::ptrdiff_t>(likeliest - 2),
                                     belief_.begin() + static_cast<std::ptrdiff_t>(likeliest + 3), 0.0F);
  const auto top =
      static_cast<std::size_t>(std::max_element(power.begin() + static_cast<std::ptrdiff_t>(likeliest - 2),
                                                power.begin() + static_cast<std::ptrdiff_t>(likeliest + 3)) -
                               power.begin());
  if (near < kSureOfPlace || score(power[top] / floor_[top]) < 0.0F) return std::nullopt;
  const float left = std::log(power[top - 1] + 1e-30F), middle = std::log(power[top] + 1e-30F),
              right = std::log(power[top + 1] + 1e-30F);
  const float bend = left - 2.0F * middle + right;
  if (bend >= 0.0F) return std::nullopt;  // a slope, no peak
  const double offset = std::clamp(0.5 * static_cast<double>((left - right) / bend), -1.0, 1.0);
  return Peak{config_.centre_hz + (static_cast<double>(top) + offset - 128.0) * config_.bin_hz,
              static_cast<double>(power[top] / floor_[top])};
}

void LineFollower::add(const Peak& peak, const Frame& frame) noexcept {
  const double here = std::log(peak.hz);
  if (count_ > 0.0 && std::abs(here - mean_log_) > kElsewhere) forget_sums();
  if (seen_ == 0.0) seen_ = all_ = 1.0;
  count_ += 1.0;
  const double apart = here - mean_log_;
  mean_log_ += apart / count_;
  squares_ += apart * (here - mean_log_);
  // Derived: a sinusoid's frequency under Hann's window has a deviation of some 0.6 bins over the root of twice its
  // ratio.
  const double deviation = 0.6 * config_.bin_hz / peak.hz / std::sqrt(2.0 * peak.over_floor);
  noise_ += deviation * deviation;
  if (previous_ && frame.machine_known) match_.add(here - *previous_, frame.machine_step, frame.machine_variance);
  previous_ = here;
}

bool LineFollower::heard() const noexcept { return count_ >= kHeardFrames && count_ > kHeardFraction * seen_; }

double LineFollower::mean_hz() const noexcept { return std::exp(mean_log_); }

double LineFollower::u95_percent() const noexcept {
  // Derived: the parabola is off by up to 0.02 bins of 0.075 %, and both ends lie half a frame off.
  constexpr double kBias = 0.00005, kFramesOfWow = 12.0;  // half a second is alike
  if (count_ < 1.0) return 100.0;
  // Frames overlap by half: neighbours share their noise. Of the wow, what fell into frames without the line is
  // missing.
  const double random = std::sqrt(2.0 * noise_) / count_;
  const double missing = std::sqrt(squares_ / count_ * std::max(0.0, 1.0 - count_ / all_) * kFramesOfWow / count_);
  return 100.0 * std::sqrt(4.0 * (random * random + missing * missing) + kBias * kBias);
}

}  // namespace four76
