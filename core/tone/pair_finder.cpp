#include "core/tone/pair_finder.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numbers>

#include "core/signal/spectrum.hpp"
#include "core/signal/statistics.hpp"

namespace four76 {

namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr std::size_t kMostCandidates = 6;
constexpr double kLeastStretchS = 0.9;
constexpr double kLeastApart = 3.0;     // resolutions
constexpr double kWithin = 0.22;        // amplitude ratio: 13 dB, a decibel beyond what is asked for
constexpr double kLeastShare = 0.19;    // amplitude of a line at -13 dB, over the root of all power (derived: 0.21)
constexpr double kSmearHz = 8.0;        // a wowing tone's lines within so much of each other are one tone
constexpr double kLeastBeat = 0.012;    // variance of the level over its mean squared: at -13 dB it is 0.024 (derived)
constexpr double kLeastSameness = 8.0;  // twice what one side-band of two makes (derived: see above)
constexpr double kMostLevelVariance = 0.06;  // noise alone has 0.27 (Rayleigh's distribution)
constexpr int kTurns = 3;                    // of fitting line and remainder: each takes a tenth of what the last left
constexpr double kLeastDecideS = 2.4;
// What the other does must be movement, not noise of its phase, and far from what the line may do.
constexpr double kLeastWanderRad = 0.25;
constexpr double kOverNoise = 4.0;
constexpr double kOverLine = 5.0;

}  // namespace

PairFinder::PairFinder(const Config& config)
    : config_(config),
      fft_(config.most_samples),
      hann_(config.most_samples),
      windowed_(config.most_samples),
      bins_(config.most_samples),
      sum_(config.most_samples),
      remainder_(config.most_samples),
      scratch_(config.most_samples) {}

void PairFinder::window(std::span<const Complex> newest) noexcept {
  count_ = newest.size();
  for (std::size_t n = 0; n < count_; ++n) {
    const double share = (static_cast<double>(n) + 0.5) / static_cast<double>(count_);
    hann_[n] = static_cast<float>(0.5 - 0.5 * std::cos(kTwoPi * share));
    windowed_[n] = newest[n] * hann_[n];
  }
}

// Into bins_, padded with zeros.
void PairFinder::transform(std::span<const Complex> in) noexcept {
  std::copy(in.begin(), in.end(), scratch_.begin());
  std::fill(scratch_.begin() + static_cast<std::ptrdiff_t>(in.size()), scratch_.end(), Complex{});
  const auto bins = fft_.transform(scratch_);
  std::copy(bins.begin(), bins.end(), bins_.begin());
}

// What bins_ holds between two frequencies, as samples again, into remainder_.
void PairFinder::back(double low_hz, double high_hz) noexcept {
  const auto size = static_cast<double>(bins_.size());
  for (std::size_t k = 0; k < bins_.size(); ++k) {
    const double signed_bin = static_cast<double>(k) - (k < bins_.size() / 2 ? 0.0 : size);
    const double hz = signed_bin * config_.rate_hz / size;
    scratch_[k] = hz < low_hz || hz > high_hz ? Complex{} : std::conj(bins_[k]);
  }
  const auto samples = fft_.transform(scratch_);
  for (std::size_t n = 0; n < count_; ++n) remainder_[n] = std::conj(samples[n]) / static_cast<float>(size);
}

std::size_t PairFinder::bin_of(double hz) const noexcept {
  const auto size = static_cast<std::ptrdiff_t>(bins_.size());
  const auto bin = static_cast<std::ptrdiff_t>(std::lround(hz / config_.rate_hz * static_cast<double>(size)));
  return static_cast<std::size_t>((bin % size + size) % size);
}

double PairFinder::power_around(double hz, double reach_hz) const noexcept {
  const auto reach = static_cast<std::size_t>(reach_hz / config_.rate_hz * static_cast<double>(bins_.size()));
  double power = 0.0;
  std::size_t bin = bin_of(hz - reach_hz);
  for (std::size_t i = 0; i <= 2 * reach; ++i, bin = (bin + 1) % bins_.size())
    power += static_cast<double>(std::norm(bins_[bin]));
  return power;
}

// Where within the range most power stands together.
double PairFinder::strongest_around(double reach_hz) const noexcept {
  double best_hz = 0.0;
  double best = -1.0;
  for (double hz = -config_.range_hz; hz <= config_.range_hz; hz += reach_hz / 2.0) {
    const double power = power_around(hz, reach_hz);
    if (power > best) best = power, best_hz = hz;
  }
  return best_hz;
}

// The strongest peaks of bins_ that may be a line, the strongest first.
std::size_t PairFinder::find_candidates(std::span<double> hz) noexcept {
  double all = 0.0;
  for (const Complex& bin : bins_) all += static_cast<double>(std::norm(bin));
  // A line of amplitude 1 fills bins_ with the window's power.
  double window_power = 0.0;
  double window_sum = 0.0;
  for (std::size_t n = 0; n < count_; ++n) {
    window_power += static_cast<double>(hann_[n]) * static_cast<double>(hann_[n]);
    window_sum += static_cast<double>(hann_[n]);
  }
  const double amplitude = std::sqrt(all / (static_cast<double>(bins_.size()) * window_power));
  const double least = std::pow(kLeastShare * amplitude * window_sum, 2.0);
  std::array<double, kMostCandidates> powers{};
  std::size_t found = 0;
  const std::size_t size = bins_.size();
  const double bin_hz = config_.rate_hz / static_cast<double>(size);
  const auto power = [&](std::size_t k) { return static_cast<double>(std::norm(bins_[k % size])); };
  for (std::size_t k = 0; k < size; ++k) {
    const double at_hz = (static_cast<double>(k) - (k < size / 2 ? 0.0 : static_cast<double>(size))) * bin_hz;
    const double here = power(k);
    if (here < least || here < power(k + 1) || here <= power(k + size - 1) || std::abs(at_hz) > config_.range_hz)
      continue;
    if (found == hz.size() && here <= powers[found - 1]) continue;
    if (found < hz.size()) ++found;
    std::size_t place = found - 1;
    for (; place > 0 && powers[place - 1] < here; --place) powers[place] = powers[place - 1], hz[place] = hz[place - 1];
    powers[place] = here;
    hz[place] = at_hz;
  }
  return found;
}

// Whether there can be a pair at all: the level beside the strongest tone beats, or something stands further off.
bool PairFinder::beats() noexcept {
  // Samples lost at a device's own period make lines, too, but leave the level of the whole band alone.
  const Level all = level_of(std::span<const Complex>(windowed_).first(count_));
  if (all.variance < kLeastBeat * all.mean * all.mean) return false;
  const double tone_hz = strongest_around(kSmearHz);
  double elsewhere = 0.0;
  for (double hz = -config_.range_hz; hz <= config_.range_hz; hz += kSmearHz)
    if (std::abs(hz - tone_hz) > config_.beside_hz) elsewhere = std::max(elsewhere, power_around(hz, kSmearHz));
  if (elsewhere > kWithin * kWithin * power_around(tone_hz, config_.beside_hz)) return true;
  back(tone_hz - config_.beside_hz, tone_hz + config_.beside_hz);
  const Level level = level_of(std::span(remainder_).first(count_));
  return level.variance > kLeastBeat * level.mean * level.mean;
}

std::complex<double> PairFinder::correlate(std::span<const Complex> windowed, double hz) const noexcept {
  const std::complex<double> turn = std::polar(1.0, -kTwoPi * hz / config_.rate_hz);
  std::complex<double> phasor = 1.0;
  std::complex<double> sum = 0.0;
  for (const Complex& x : windowed) {
    sum += std::complex<double>(x) * phasor;
    phasor *= turn;
  }
  return sum;
}

// The line that correlates best: the top of the Hann window's lobe, by parabolas through its logarithm.
PairFinder::Line PairFinder::fit_line(std::span<const Complex> windowed, double near_hz) const noexcept {
  double window_sum = 0.0;
  for (std::size_t n = 0; n < count_; ++n) window_sum += static_cast<double>(hann_[n]);
  double hz = near_hz;
  double step_hz = 0.4 * config_.rate_hz / static_cast<double>(count_);
  for (int i = 0; i < 3; ++i) {
    const auto log_power = [&](double at_hz) { return std::log(std::norm(correlate(windowed, at_hz)) + 1e-300); };
    hz += step_hz * parabolic_peak(log_power(hz - step_hz), log_power(hz), log_power(hz + step_hz)).offset_bins;
    step_hz *= 0.3;
  }
  return {hz, correlate(windowed, hz) / window_sum};
}

void PairFinder::take_out(const Line& line, std::span<const Complex> from, std::span<Complex> to) const noexcept {
  const std::complex<double> turn = std::polar(1.0, kTwoPi * line.hz / config_.rate_hz);
  std::complex<double> phasor = line.amplitude;
  for (std::size_t n = 0; n < from.size(); ++n) {
    to[n] = from[n] - Complex(phasor) * hann_[n];
    phasor *= turn;
  }
}

// Of the stretch's middle half, where the window lets the noise be.
PairFinder::Level PairFinder::level_of(std::span<const Complex> windowed) const noexcept {
  double sum = 0.0;
  double square = 0.0;
  const std::size_t first = count_ / 4;
  const std::size_t last = count_ - count_ / 4;
  for (std::size_t n = first; n < last; ++n) {
    const auto magnitude = static_cast<double>(std::abs(windowed[n]) / hann_[n]);
    sum += magnitude;
    square += magnitude * magnitude;
  }
  const auto count = static_cast<double>(last - first);
  const double mean = sum / count;
  return {mean, std::max(0.0, square / count - mean * mean)};
}

// Takes the best line near that frequency out, and fits line and remainder in turns. Leaves the remainder in
// remainder_.
std::optional<PairFinder::Split> PairFinder::split(double near_hz) noexcept {
  const auto windowed = std::span<const Complex>(windowed_).first(count_);
  Split found{.line = fit_line(windowed, near_hz)};
  take_out(found.line, windowed, std::span(remainder_).first(count_));
  transform(std::span<const Complex>(remainder_).first(count_));
  found.other_hz = strongest_around(kSmearHz);
  const double apart_hz = std::abs(found.other_hz - found.line.hz);
  if (apart_hz > 2.0 * config_.range_hz) return std::nullopt;
  back(std::min(found.line.hz, found.other_hz) - config_.beside_hz,
       std::max(found.line.hz, found.other_hz) + config_.beside_hz);
  const auto sum = std::span(sum_).first(count_);
  const auto rest = std::span(remainder_).first(count_);
  take_out({found.line.hz, -found.line.amplitude}, rest, sum);
  const Level before = level_of(sum);
  Level after = level_of(rest);
  for (int turn = 0; turn < kTurns; ++turn) {
    const auto held = std::span(scratch_).first(count_);
    for (std::size_t n = 0; n < count_; ++n) {
      const float magnitude = std::abs(rest[n]);
      const float level = static_cast<float>(after.mean) * hann_[n];
      held[n] = sum[n] - (magnitude > 0.0F ? rest[n] * (level / magnitude) : Complex{});
    }
    found.line = fit_line(held, found.line.hz);
    take_out(found.line, sum, rest);
    after = level_of(rest);
  }
  found.other_amplitude = after.mean;
  found.sameness = before.variance / std::max(after.variance, 1e-30);
  found.level_variance = after.variance / std::max(after.mean * after.mean, 1e-30);
  // What the line's phase does besides is left in the remainder, half of it as level.
  found.line_wander_rad = std::sqrt(2.0 * after.variance) / std::max(std::abs(found.line.amplitude), 1e-30);
  return found;
}

// Mean frequency, phase and movement of the remainder, from the phase of its middle half against a straight line.
void PairFinder::follow_other(Split& split) noexcept {
  const std::size_t first = count_ / 4;
  const std::size_t last = count_ - count_ / 4;
  const double expected = split.other_hz / config_.rate_hz;  // cycles a sample, to unwrap by
  double cycles = static_cast<double>(std::arg(remainder_[first])) / kTwoPi;
  const auto count = static_cast<double>(last - first);
  const double middle = (count - 1.0) / 2.0;
  double sum = 0.0;
  double sum_by_place = 0.0;
  double square = 0.0;
  double by_place_square = 0.0;
  double before = cycles;
  for (std::size_t n = first; n < last; ++n) {
    const double wrapped = static_cast<double>(std::arg(remainder_[n])) / kTwoPi;
    if (n > first) cycles = before + expected + wrap_cycles(wrapped - before - expected);
    before = cycles;
    const double place = static_cast<double>(n - first) - middle;
    sum += cycles;
    square += cycles * cycles;
    sum_by_place += cycles * place;
    by_place_square += place * place;
  }
  const double slope = sum_by_place / by_place_square;
  const double mean = sum / count;
  const double left = square / count - mean * mean - slope * slope * by_place_square / count;
  split.other_hz = slope * config_.rate_hz;
  split.other_cycles = mean + slope * (static_cast<double>(count_ - 1 - first) - middle);
  split.other_wander_rad = kTwoPi * std::sqrt(std::max(0.0, left));
}

TonePair PairFinder::pair_of(const Split& split) const noexcept {
  const double samples = static_cast<double>(count_ - 1);
  const double line_cycles = std::arg(split.line.amplitude) / kTwoPi + split.line.hz / config_.rate_hz * samples;
  TonePair pair;
  pair.line = {split.line.hz, std::abs(split.line.amplitude), line_cycles - std::floor(line_cycles)};
  pair.other = {split.other_hz, split.other_amplitude, split.other_cycles - std::floor(split.other_cycles)};
  pair.stretch_s = static_cast<double>(count_) / config_.rate_hz;
  const double wander = pair.other_wander_rad = split.other_wander_rad;
  pair.other_wows = pair.stretch_s >= kLeastDecideS && wander > kLeastWanderRad &&
                    wander > kOverNoise * std::sqrt(split.level_variance) && wander > kOverLine * split.line_wander_rad;
  return pair;
}

std::optional<TonePair> PairFinder::find(std::span<const Complex> newest) noexcept {
  assert(newest.size() <= windowed_.size() && "a longer stretch than the finder was made for");
  if (static_cast<double>(newest.size()) < kLeastStretchS * config_.rate_hz) return std::nullopt;
  window(newest);
  transform(std::span<const Complex>(windowed_).first(count_));
  if (!beats()) return std::nullopt;
  std::array<double, kMostCandidates> candidates{};
  const std::size_t found = find_candidates(candidates);
  std::optional<TonePair> best;
  double best_sameness = kLeastSameness;
  for (std::size_t i = 0; i < found; ++i) {
    auto parts = split(candidates[i]);
    if (!parts || parts->sameness < best_sameness || parts->level_variance > kMostLevelVariance) continue;
    follow_other(*parts);
    const double ratio = parts->other_amplitude / std::max(std::abs(parts->line.amplitude), 1e-30);
    const double apart_hz = std::abs(parts->other_hz - parts->line.hz);
    const bool alike = ratio >= kWithin && ratio <= 1.0 / kWithin;
    if (!alike || apart_hz * static_cast<double>(count_) < kLeastApart * config_.rate_hz) continue;
    best_sameness = parts->sameness;
    best = pair_of(*parts);
  }
  return best;
}

}  // namespace four76
