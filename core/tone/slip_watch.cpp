#include "core/tone/slip_watch.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {

using std::numbers::pi;

constexpr std::array<double, 3> kPlaces = {2.0, 3.0, 4.0};  // grains to either side whose windows end at the place

// Least squares of a + b t + c (t > 0) over the six places: the step of one half to either side, less its own slope.
constexpr std::array<double, 3> step_kernel() {
  double tt = 0.0;
  double st = 0.0;
  for (const double t : kPlaces) tt += 2.0 * t * t, st += t;
  std::array<double, 3> kernel{};
  double norm = 0.0;
  for (std::size_t i = 0; i < 3; ++i) {
    kernel[i] = 0.5 - st / tt * kPlaces[i];
    norm += kernel[i];
  }
  for (double& k : kernel) k /= norm;
  return kernel;
}
constexpr std::array<double, 3> kKernel = step_kernel();

// A hundred of these a second are 0.03 % of 3000 Hz, below what a portable's wow leaves uncertain.
constexpr double kLeastCycles = 0.008;
constexpr double kOverNoise = 8.0;  // 3000 looks a second for hours: a Gaussian's 6 would do, noise is seldom that
// Of a Gaussian 15 % lie within 0.19 sigma, of a sine within 0.23 of its peak, so that no flutter reaches five of
// these sigmas.
constexpr double kUsualShare = 0.15;
constexpr double kUsualSigmas = 0.189;
constexpr double kOverUsual = 5.0;
constexpr double kUsualStep = 0.016;  // of its own size, a grain: it follows within half a second
constexpr double kFirstStep = 4.0;
constexpr std::uint64_t kLearnGrains = 200;  // before anything is called a slip
constexpr double kUneven = 6.0;              // from the quietest to the loudest of nine windows
constexpr double kLeastUsual = 1e-5;
constexpr double kEvenLevel = 1.25;  // from one side to the other
// Rounding and the tone's own mirror image in a window of four cycles: what is left of a clean tone's power.
constexpr double kLeastLeftOver = 1e-4;
constexpr double kMostLeftOver = 0.2;  // less than 7 dB above what else sounds: nothing can be told
constexpr double kBroken = 0.35;       // of A^2 sin^2(pi c): a place half a cycle beside the middle, or zeros in it
constexpr double kBesideNoise = 2.0;
constexpr double kBesideStep =
    0.15;                           // half a hop beside the middle leaves 0.05 of it there, and noise moves the middle
constexpr double kCanBeSeen = 4.0;  // times what is left beside it
constexpr double kImageBins = 6.0;  // nearer, the tone's mirror image beats with it
constexpr double kRetuneShare = 0.005;  // of the frequency
constexpr double kSlopeShare = 0.02;    // of a grain: some fifty cycles

// A cycle; at rates that hardly carry the tone longer, so that its mirror image lies eight bins of the window away.
std::size_t hop_of(double rate_hz, double nominal_hz) noexcept {
  const double image_hz = std::max(rate_hz - 2.0 * nominal_hz, 0.1 * rate_hz);
  return static_cast<std::size_t>(std::max(2.0, std::round(rate_hz * std::max(1.0 / nominal_hz, 2.0 / image_hz))));
}

float dot(const float* a, const float* b, std::size_t count) noexcept {
  float sums[4] = {};
  std::size_t k = 0;
  for (; k + 4 <= count; k += 4)
    for (std::size_t i = 0; i < 4; ++i) sums[i] += a[k + i] * b[k + i];
  return (sums[0] + sums[2]) + (sums[1] + sums[3]);
}

// sum h x^2
float weighed_power(const float* x, const float* h, std::size_t count) noexcept {
  float sums[4] = {};
  std::size_t k = 0;
  for (; k + 4 <= count; k += 4)
    for (std::size_t i = 0; i < 4; ++i) sums[i] += h[k + i] * x[k + i] * x[k + i];
  return (sums[0] + sums[2]) + (sums[1] + sums[3]);
}

}  // namespace

SlipWatch::SlipWatch(const Config& config)
    : config_(config),
      hop_(hop_of(config.sample_rate_hz, config.nominal_hz)),
      length_(kHops * hop_),
      window_(length_),
      in_phase_(length_),
      quadrature_(length_),
      input_(length_ + 4 * kLargestBlock) {
  const auto n = static_cast<double>(length_);
  const auto hann = [&](double k) { return k < 0.0 || k >= n ? 0.0 : (1.0 - std::cos(2.0 * pi * (k + 0.5) / n)) / n; };
  for (std::size_t k = 0; k < length_; ++k) {
    const auto at = static_cast<double>(k);
    window_[k] = static_cast<float>(hann(at));
    sum_of_squares_ += hann(at) * hann(at);
    time_variance_ += hann(at) * (at - (n - 1.0) / 2.0) * (at - (n - 1.0) / 2.0);
  }
  // Neighbouring windows overlap: their noise is alike.
  double variance = 0.0;
  for (int a = -static_cast<int>(kReach); a <= static_cast<int>(kReach); ++a)
    for (int b = -static_cast<int>(kReach); b <= static_cast<int>(kReach); ++b) {
      if (std::abs(a) < 2 || std::abs(b) < 2) continue;
      double alike = 0.0;
      for (std::size_t k = 0; k < length_; ++k)
        alike += hann(static_cast<double>(k)) *
                 hann(static_cast<double>(k) + static_cast<double>(b - a) * static_cast<double>(hop_));
      const double sign = (a > 0) == (b > 0) ? 1.0 : -1.0;
      variance += sign * kKernel[static_cast<std::size_t>(std::abs(a)) - 2] *
                  kKernel[static_cast<std::size_t>(std::abs(b)) - 2] * alike / sum_of_squares_;
    }
  step_gain_ = std::sqrt(variance);
  lock(config.nominal_hz, 0);
}

void SlipWatch::reset() noexcept {
  slip_count_ = 0;
  next_place_ = 0;
  lock(config_.nominal_hz, 0);
}

void SlipWatch::lock(double frequency_hz, std::uint64_t first_sample) noexcept {
  tune(frequency_hz);
  std::fill(input_.begin(), input_.end(), 0.0F);
  input_end_ = until_grain_ = length_;
  sample_count_ = first_sample;
  slope_cycles_ = before_ = now_ = usual_ = usual_left_over_ = 0.0;
  next_grain_ = grain_count_ = hold_ = 0;
}

// The middle of the window is where the phase is read: retuning leaves no step in it but the hop's own advance.
void SlipWatch::tune(double centre_hz) noexcept {
  centre_hz_ = centre_hz;
  const double step = 2.0 * pi * centre_hz / config_.sample_rate_hz;
  hop_cycles_ = centre_hz / config_.sample_rate_hz * static_cast<double>(hop_);
  const double image_hz = std::min(2.0 * centre_hz, config_.sample_rate_hz - 2.0 * centre_hz);
  image_apart_ = image_hz * static_cast<double>(length_) > kImageBins * config_.sample_rate_hz;
  const double middle = (static_cast<double>(length_) - 1.0) / 2.0;
  for (std::size_t k = 0; k < length_; ++k) {
    const double angle = step * (static_cast<double>(k) - middle);
    in_phase_[k] = static_cast<float>(2.0 * static_cast<double>(window_[k]) * std::cos(angle));
    quadrature_[k] = static_cast<float>(-2.0 * static_cast<double>(window_[k]) * std::sin(angle));
  }
}

void SlipWatch::process(std::span<const float> samples) noexcept {
  assert(samples.size() <= kLargestBlock && "blocks of at most kLargestBlock samples");
  while (!samples.empty()) {
    if (input_end_ == input_.size()) {
      std::copy(input_.end() - static_cast<std::ptrdiff_t>(length_), input_.end(), input_.begin());
      input_end_ = length_;
    }
    const std::size_t count = std::min({samples.size(), until_grain_, input_.size() - input_end_});
    std::copy_n(samples.begin(), count, input_.begin() + static_cast<std::ptrdiff_t>(input_end_));
    input_end_ += count;
    sample_count_ += count;
    until_grain_ -= count;
    samples = samples.subspan(count);
    if (until_grain_ != 0) continue;
    until_grain_ = hop_;
    take_grain();
  }
}

void SlipWatch::take_grain() noexcept {
  const float* x = input_.data() + input_end_ - length_;
  const std::complex<double> z(static_cast<double>(dot(x, in_phase_.data(), length_)),
                               static_cast<double>(dot(x, quadrature_.data(), length_)));
  const double power = 2.0 * static_cast<double>(weighed_power(x, window_.data(), length_));
  const double turned = wrap_cycles(std::arg(z * std::conj(last_)) / (2.0 * pi) - hop_cycles_);
  last_ = z;
  Grain grain;
  grain.square = std::norm(z);
  grain.amplitude = std::sqrt(grain.square);
  // A tone beside the tuned frequency fills the window a little less.
  const double detuned = 2.0 * pi * slope_cycles_ / static_cast<double>(hop_);
  grain.left_over = power - grain.square * (1.0 + detuned * detuned * time_variance_);
  grain.cycles = grain_count_ > 0 ? this->grain(0).cycles + turned : 0.0;
  grains_[next_grain_] = grain;
  next_grain_ = (next_grain_ + 1) % kRing;
  if (++grain_count_ > 1) slope_cycles_ += kSlopeShare * (turned - slope_cycles_);
  if (grain_count_ > kRing) look();
  if (std::abs(slope_cycles_) > kRetuneShare * hop_cycles_) {
    const double moved = slope_cycles_;
    tune(centre_hz_ * (1.0 + moved / hop_cycles_));
    slope_cycles_ = 0.0;
    // What is kept of the phase runs against the new frequency from here on, and always has.
    for (std::size_t age = 0; age < kRing; ++age)
      grains_[(next_grain_ + 2 * kRing - 1 - age) % kRing].cycles += moved * static_cast<double>(age);
  }
}

// Of the place kReach grains before the newest.
double SlipWatch::step_cycles() const noexcept {
  double sum = 0.0;
  for (std::size_t i = 0; i < kKernel.size(); ++i)
    sum += kKernel[i] * (grain(kReach - 2 - i).cycles - grain(kReach + 2 + i).cycles);
  return sum;
}

void SlipWatch::look() noexcept {
  const double newest = step_cycles();
  const bool peak = std::abs(now_) >= std::abs(before_) && std::abs(now_) > std::abs(newest);
  const double judged = now_;
  before_ = now_;
  now_ = newest;
  const bool found = hold_ == 0 && image_apart_ && grain_count_ > kLearnGrains && peak && is_slip(judged);
  learn(std::abs(newest));
  learn_left_over();
  if (hold_ > 0) --hold_;
  if (!found) return;
  hold_ = kSpan - 1;
  // The middle of the grain that was kReach before the newest when `judged` was made, one grain ago.
  places_[next_place_] = sample_count_ - (kReach + 1) * hop_ - length_ / 2;
  next_place_ = (next_place_ + 1) % kKept;
  ++slip_count_;
}

// Of the place kReach + 1 grains before the newest.
bool SlipWatch::is_slip(double step) const noexcept {
  const double size = std::abs(step);
  if (size < std::max(kLeastCycles, kOverUsual / kUsualSigmas * usual_)) return false;
  const auto level = [&](std::size_t age) { return (grain(age).amplitude + grain(age + 1).amplitude) / 2.0; };
  const double after = level(1);
  const double before = level(2 * kReach);
  if (!(std::min(after, before) > 0.0) || std::max(after, before) > kEvenLevel * std::min(after, before)) return false;
  const double square = after * before;
  const auto noise = [&](std::size_t age) { return (grain(age).left_over + grain(age + 1).left_over) / 2.0; };
  const double usual = std::max(kLeastLeftOver, usual_left_over_) * square;
  const double left_over = std::max({usual, noise(1), noise(2 * kReach)});
  if (left_over > kMostLeftOver * square) return false;
  const double sigma = step_gain_ * std::sqrt(left_over / square * sum_of_squares_) / (2.0 * pi);
  if (size < kOverNoise * sigma) return false;
  const double sine = std::sin(pi * std::min(size, 0.5));
  const double lacking = square * sine * sine;
  // Speech and clicks are loud for longer than a step: they reach the windows that end where the step is.
  const double beside = std::max(grain(kReach - 1).left_over, grain(kReach + 3).left_over);
  if (beside > kBesideNoise * left_over + kBesideStep * lacking) return false;
  return lacking < kCanBeSeen * left_over || grain(kReach + 1).left_over > kBroken * lacking;
}

// A quantile by steps: up where above it, down where below, in such a ratio that 15 % lie below. Windows that a slip
// or a burst reaches do not teach what is usual.
void SlipWatch::learn(double size) noexcept {
  double least = 1e300;
  double most = 0.0;
  for (std::size_t i = 0; i < kSpan; ++i) {
    least = std::min(least, std::max(grain(i).left_over, kLeastLeftOver * grain(i).square));
    most = std::max(most, grain(i).left_over);
  }
  if (most > kUneven * least) return;
  if (usual_ == 0.0) usual_ = size;
  const double step = std::max(kUsualStep, kFirstStep / static_cast<double>(grain_count_));
  usual_ *= size > usual_ ? 1.0 + kUsualShare * step : 1.0 - (1.0 - kUsualShare) * step;
  usual_ = std::max(usual_, kLeastUsual);
}

// Its median: speech is quiet between two of its pulses, but not half of the time; and of a grain in fourteen that a
// device breaks half are whole.
void SlipWatch::learn_left_over() noexcept {
  const double now =
      grain(0).square > 0.0 ? std::clamp(grain(0).left_over / grain(0).square, kLeastLeftOver, 1.0) : 1.0;
  if (usual_left_over_ == 0.0) usual_left_over_ = now;
  const double step = std::max(kUsualStep, kFirstStep / static_cast<double>(grain_count_)) / 2.0;
  usual_left_over_ *= now > usual_left_over_ ? 1.0 + step : 1.0 - step;
}

bool SlipWatch::slipped_between(double first_sample, double last_sample) const noexcept {
  const std::size_t count = static_cast<std::size_t>(std::min<std::uint64_t>(slip_count_, kKept));
  return std::any_of(places_.begin(), places_.begin() + static_cast<std::ptrdiff_t>(count), [&](std::uint64_t place) {
    const double at = static_cast<double>(place);
    return at + static_cast<double>(hop_) >= first_sample && at - static_cast<double>(hop_) <= last_sample;
  });
}

}  // namespace four76
