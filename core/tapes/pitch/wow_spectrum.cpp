#include "core/tapes/pitch/wow_spectrum.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/signal/spectrum.hpp"

namespace four76 {
namespace {

// Tuned: on 151 recordings of the packages that tests/data/music.txt names, each steady, with one or two lines of 0.05
// to 0.4 % RMS at 0.4 to 2.5 Hz, or on a portable, in a room with hiss, for 40 s. Half the groups and partials up
// to 1.7 or 3 kHz read the same within 4 %; a narrower width, or psi = y exp(-y^2 / 2 s^2), reads up to a third more of
// a strong line at 2 Hz, whose swing is no Gaussian's.
constexpr double kWidth_cents = 23.0;
constexpr double kLowest_cents = -663.0, kHighest_cents = 2900.0;  // 300 to 2350 Hz; above, hiss stands still
constexpr double kLong_cents = 221.0;                              // 500 Hz: below, PartialTracker's window is 341 ms
constexpr double kLongWindow_s = 4096.0 / kSongRate_hz, kShortWindow_s = 2048.0 / kSongRate_hz;

constexpr double kLeast_s = 10.0;
// A reel's rate changes by some 0.01 Hz a minute along a side (derived: half a hertz that doubles in 45 minutes).
constexpr double kMemory_s = 300.0;
constexpr double kGrid_hz = 0.0125;
constexpr std::size_t kFirst = 24;   // on that grid: 0.3 Hz
constexpr std::size_t kTurn = 1875;  // lags in a cycle of the grid's first rate
// Fewer products of partials than one tell nothing.
constexpr double kLeastTold = 1.0;

constexpr double kStudent5 = 2.571;  // 0.975 quantile of Student's t with five degrees of freedom
// What music moves by itself: of 47 of them, steady, 0.03 % in the median and 0.09 % in nine of ten.
constexpr double kMusic_percent = 0.05;
// Recordings differ in what their notes' onsets and the hiss take from it: of 31 lines on 104 of them eight of ten read
// 0.88 to 1.09 of the truth. As a share of the power.
constexpr double kPiece = 0.2;
constexpr double kKnown = 0.35;  // of the RMS; of our own choosing: a ± beyond says no more than "at least"

// A line. Tuned: on the same, steady, and on synthetic chords whose melody alone has a vibrato of 0.2 to 0.8 % below
// 3 Hz: the harmonics of one voice lie in several groups, and it passes for a line of up to 0.075 % of all.
constexpr double kOverMedian = 15.0;
constexpr double kOverScatter = 4.0;     // of the jackknife
constexpr double kWithoutAGroup = 0.75;  // of its height stays, whichever is left out
constexpr double kLeastLine_percent = 0.08;
constexpr double kRateFloor_hz = 0.01;  // of its rate's ±: the tenth part of a line's width under the window

constexpr double kPercentACent = 0.0577789;  // 100 (2^(1/1200) - 1)

double sinc(double x) noexcept {
  const double angle = std::numbers::pi * x;
  return std::abs(angle) < 1e-9 ? 1.0 : std::sin(angle) / angle;
}

// A Hann window's mean of a sinusoid, x cycles of which it holds; x stays away from 1 but for 2.93 Hz in the long one,
// where the limit is a half.
double hann_mean(double x) noexcept {
  const double rest = 1.0 - x * x;
  return std::abs(rest) < 1e-6 ? 0.5 : sinc(x) / rest;
}

bool counts(const Partial& partial) noexcept {
  return partial.cents > kLowest_cents && partial.cents <= kHighest_cents;
}

double rate_of_top(std::span<const double> density, std::size_t top) noexcept {
  const double offset = parabolic_peak(density[top - 1], density[top], density[top + 1]).offset_bins;
  return kGrid_hz * (static_cast<double>(kFirst + top) + offset);
}

// The standard deviation of what is known without one group each.
template <class Values>
double jackknife(const Values& values) noexcept {
  const auto count = static_cast<double>(values.size());
  double mean = 0.0, squares = 0.0;
  for (const double value : values) mean += value / count;
  for (const double value : values) squares += (value - mean) * (value - mean);
  return std::sqrt((count - 1.0) / count * squares);
}

}  // namespace

WowSpectrum::WowSpectrum() : moments_(kLags), cosines_(kTurn), window_(kLags) {
  constexpr std::size_t kMostPartials = 96;  // PartialTracker's
  tracks_.reserve(kMostPartials);
  before_.reserve(kMostPartials);
  for (Sums& sums : sums_) {
    sums.moved.resize(kLags);
    sums.told.resize(kLags);
  }
  for (std::size_t n = 0; n < kTurn; ++n)
    cosines_[n] = std::cos(2.0 * std::numbers::pi * static_cast<double>(n) / static_cast<double>(kTurn));
  for (std::size_t lag = 0; lag < kLags; ++lag)
    window_[lag] = 0.5 + 0.5 * std::cos(std::numbers::pi * static_cast<double>(lag) / static_cast<double>(kLags));
}

void WowSpectrum::reset() noexcept {
  tracks_.clear();
  std::fill(moments_.begin(), moments_.end(), Moment{});
  for (Sums& sums : sums_) {
    std::fill(sums.moved.begin(), sums.moved.end(), 0.0);
    std::fill(sums.told.begin(), sums.told.end(), 0.0);
  }
  frames_ = low_ = all_ = 0.0;
}

// Both frames rise in pitch, and so do the partials that those of the newer one came from.
void WowSpectrum::follow(std::span<const Partial> frame) noexcept {
  std::swap(tracks_, before_);
  tracks_.clear();
  std::size_t at = 0;
  for (const Partial& partial : frame) {
    if (tracks_.size() == tracks_.capacity()) break;
    Track track{.cents = partial.cents};
    constexpr double kRounding_cents = 1e-6;
    const double came_from = partial.cents - partial.step;
    while (at < before_.size() && before_[at].cents < came_from - kRounding_cents) ++at;
    if (partial.age > 0 && at < before_.size() && before_[at].cents < came_from + kRounding_cents) {
      std::copy_n(before_[at].past.begin(), kReach - 1, track.past.begin() + 1);
      track.past.front() = before_[at].cents;
      track.known = std::min(before_[at].known + 1, kReach);
    }
    tracks_.push_back(track);
  }
}

WowSpectrum::Moment WowSpectrum::moment_of(std::span<const Partial> frame, double scale_cents) noexcept {
  Moment moment;
  for (std::size_t i = 0; i < std::min(frame.size(), tracks_.size()); ++i) {
    const Partial& partial = frame[i];
    if (tracks_[i].known < kReach || !counts(partial)) continue;
    const double y = partial.cents - tracks_[i].past.back();
    const double fourth = std::pow(y / kWidth_cents, 4.0);
    const double weight = std::exp(-0.5 * fourth), told = weight * (1.0 - 2.0 * fourth);
    const auto semitone = static_cast<long>(std::round((partial.cents - scale_cents) / 100.0));
    constexpr long kEvery = kGroups;
    const auto group = static_cast<std::size_t>((semitone % kEvery + kEvery) % kEvery);
    moment.moved[group] += weight * y;
    moment.told[group] += told;
    all_ += told;
    if (partial.cents < kLong_cents) low_ += told;
  }
  return moment;
}

void WowSpectrum::sum_up(const Moment& now) noexcept {
  constexpr double kForget = kMovementStep_s / kMemory_s;
  newest_ = (newest_ + 1) % kLags;
  moments_[newest_] = now;
  double moved_now = 0.0, told_now = 0.0;
  for (std::size_t g = 0; g < kGroups; ++g) {
    moved_now += now.moved[g];
    told_now += now.told[g];
  }
  for (std::size_t lag = 0; lag < kLags; ++lag) {
    const Moment& then = moments_[(newest_ + kLags - lag) % kLags];
    double moved_then = 0.0, told_then = 0.0;
    for (std::size_t g = 0; g < kGroups; ++g) {
      moved_then += then.moved[g];
      told_then += then.told[g];
    }
    for (std::size_t g = 0; g < kGroups; ++g) {
      const double moved = now.moved[g] * (moved_then - then.moved[g]) + then.moved[g] * (moved_now - now.moved[g]);
      const double told = now.told[g] * (told_then - then.told[g]) + then.told[g] * (told_now - now.told[g]);
      sums_[g].moved[lag] += moved - kForget * sums_[g].moved[lag];
      sums_[g].told[lag] += told - kForget * sums_[g].told[lag];
    }
  }
  frames_ += 1.0;
}

void WowSpectrum::add(std::span<const Partial> frame, double scale_cents) noexcept {
  constexpr double kFarthest_cents = 1e5;
  if (!(std::abs(scale_cents) < kFarthest_cents)) return;
  follow(frame);
  sum_up(moment_of(frame, scale_cents));
}

// Of y, one-sided, in cents^2 / Hz. Each pair stands in the sums of both of its groups.
WowSpectrum::Density WowSpectrum::density_without(std::size_t group) const noexcept {
  std::array<double, kLags> covariance{};
  for (std::size_t lag = 0; lag < kLags; ++lag) {
    double moved = 0.0, told = 0.0;
    for (std::size_t g = 0; g < kGroups; ++g) {
      const double pairs = g == group ? -0.5 : 0.5;
      moved += pairs * sums_[g].moved[lag];
      told += pairs * sums_[g].told[lag];
    }
    covariance[lag] = window_[lag] * moved / std::max(told, kLeastTold) * (lag == 0 ? 1.0 : 2.0);
  }
  Density density{};
  for (std::size_t i = 0; i < kRates; ++i) {
    double sum = 0.0;
    for (std::size_t lag = 0, turned = 0; lag < kLags; ++lag, turned = (turned + kFirst + i) % kTurn)
      sum += covariance[lag] * cosines_[turned];
    density[i] = 2.0 * kMovementStep_s * sum;
  }
  return density;
}

// Of the power, from the speed to y.
WowSpectrum::Density WowSpectrum::gains() const noexcept {
  const double low = all_ > 0.0 ? std::clamp(low_ / all_, 0.0, 1.0) : 0.0;
  Density gain{};
  for (std::size_t i = 0; i < kRates; ++i) {
    const double rate_hz = kGrid_hz * static_cast<double>(kFirst + i);
    const double amplitude =
        2.0 * std::sin(std::numbers::pi * rate_hz * kMovementStep_s * kReach) * sinc(rate_hz * kMovementStep_s) *
        ((1.0 - low) * hann_mean(rate_hz * kShortWindow_s) + low * hann_mean(rate_hz * kLongWindow_s));
    gain[i] = amplitude * amplitude;
  }
  return gain;
}

// The strongest top that stands out of the median, and which no group makes alone.
std::optional<WowSpectrum::Line> WowSpectrum::line_in(const Densities& densities, const Density& gain) noexcept {
  const Density& all = densities.back();
  Density sorted{};
  std::transform(all.begin(), all.end(), sorted.begin(), [](double x) { return std::abs(x); });
  std::nth_element(sorted.begin(), sorted.begin() + kRates / 2, sorted.end());
  const double median = sorted[kRates / 2];
  std::optional<Line> line;
  double strongest = 0.0;
  for (std::size_t i = 1; i + 1 < kRates; ++i) {
    if (all[i] < all[i - 1] || all[i] <= all[i + 1] || all[i] < kOverMedian * 1.4826 * median) continue;
    std::array<double, kGroups> heights{}, tops_hz{};
    for (std::size_t g = 0; g < kGroups; ++g) {
      const Density& part = densities[g];
      heights[g] = part[i];
      constexpr std::size_t kNear = 8;  // 0.1 Hz, the width of a top
      const std::size_t from = std::max(i, kNear + 1) - kNear, to = std::min(i + kNear, kRates - 2);
      const auto top = static_cast<std::size_t>(std::max_element(part.begin() + static_cast<std::ptrdiff_t>(from),
                                                                 part.begin() + static_cast<std::ptrdiff_t>(to + 1)) -
                                                part.begin());
      tops_hz[g] = rate_of_top(part, top);
    }
    if (all[i] < kOverScatter * jackknife(heights)) continue;
    if (*std::min_element(heights.begin(), heights.end()) < kWithoutAGroup * all[i]) continue;
    // Under the window a line of power p is p h sum(w) high (derived).
    constexpr double kHeight_s = kMovementStep_s * static_cast<double>(kLags);
    const double power = all[i] / gain[i] / kHeight_s;
    if (power <= strongest || kPercentACent * std::sqrt(power) < kLeastLine_percent) continue;
    strongest = power;
    const double u95 = std::hypot(kStudent5 * jackknife(heights) / all[i], kPiece);
    line = Line{rate_of_top(all, i), std::hypot(kStudent5 * jackknife(tops_hz), kRateFloor_hz), power * (1.0 - u95)};
  }
  return line;
}

std::optional<SharedWow> WowSpectrum::wow() const noexcept {
  if (frames_ * kMovementStep_s < kLeast_s) return std::nullopt;
  Densities densities;
  for (std::size_t group = 0; group <= kGroups; ++group) densities[group] = density_without(group);
  const Density gain = gains();
  std::array<double, kGroups + 1> powers{};
  for (std::size_t which = 0; which <= kGroups; ++which)
    for (std::size_t i = 0; i < kRates; ++i) powers[which] += kGrid_hz * densities[which][i] / gain[i];
  const double power = powers.back();
  const double scatter = jackknife(std::span(powers).first(kGroups));
  constexpr double kMusic_cents2 = kMusic_percent / kPercentACent * kMusic_percent / kPercentACent;
  const double u95 = std::hypot(kStudent5 * scatter, kMusic_cents2, kPiece * power);
  const auto line = line_in(densities, gain);
  const double least = std::max(power - u95, line ? line->least_cents2 : 0.0);
  if (!(least > 0.0)) return std::nullopt;
  SharedWow wow;
  wow.rms_percent = kPercentACent * std::sqrt(least);
  const double below = power > u95 ? 1.0 - std::sqrt(1.0 - u95 / power) : 1.0;  // of the RMS
  if (below <= kKnown) {
    wow.rms_percent = kPercentACent * std::sqrt(power);
    wow.u95_percent = below * wow.rms_percent;
  }
  if (line) {
    wow.rate_hz = line->rate_hz;
    wow.rate_u95_hz = line->rate_u95_hz;
  }
  return wow;
}

}  // namespace four76
