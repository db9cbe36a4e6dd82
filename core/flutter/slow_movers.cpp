#include "core/flutter/slow_movers.hpp"

#include <algorithm>
#include <cmath>

#include "core/flutter/wander.hpp"
#include "core/signal/sort_few.hpp"

namespace four76 {

namespace {

constexpr double kNormal95 = 1.960;
constexpr double kHannRate = 0.689;  // see flutter_peaks.hpp
constexpr double kMostAstray = 0.1;  // of the shape's mean square: what still counts as one sine
constexpr double kRateBiasWidths = 0.003, kPeakBias = 0.002;
constexpr double kChangeBiasWidths = 0.02;  // over T^2: what a neighbour's side lobes leave
constexpr double kClearly = 1.5;            // times u95
constexpr double kMostChangePerS = 0.0025;  // of the rate; see the header
constexpr double kReachWidths = 1.5;        // a ridge's top may lie so far from its middle
constexpr double kLeakShare = 0.05;         // of a mover's peak: what its own bend may leave
constexpr double kLeftShare = 0.5;          // of a peak: what it still holds when it is not its neighbour's ridge
constexpr double kBeneathWidths = 4.0;
constexpr int kHarmonics = 4;
constexpr int kRounds = 3;
constexpr double kSureGain = 8.0;  // times the noise's mean power: chance one in 3000 (chi-square, two degrees)

}  // namespace

std::span<const FlutterPeak> SlowMovers::refine(std::span<const FlutterPeak> peaks, SlowBand& band,
                                                const FlutterPeaks& floors, double drift_percent_per_s) noexcept {
  band_ = &band;
  floors_ = &floors;
  drift_percent_per_s_ = drift_percent_per_s;
  take_slow(peaks);
  separate();
  for (std::size_t i = 0; i < count_; ++i) try_to_move(sines_[i]);
  separate();
  look_beneath();
  gather(peaks);
  return {out_.data(), out_count_};
}

void SlowMovers::take_slow(std::span<const FlutterPeak> peaks) noexcept {
  count_ = 0;
  for (const FlutterPeak& peak : peaks) {
    if (peak.rate_hz > kHighestHz || count_ == kMostSines) continue;
    Sine& each = sines_[count_++];
    each = {.sine = {peak.rate_hz, 0.0, band_->at(peak.rate_hz, 0.0)}, .peak = peak};
    band_->add(each.sine, -1.0);
  }
}

// Refines each sine with all the others taken out, several times round, so that neighbours stop pulling at each other.
void SlowMovers::separate() noexcept {
  for (int round = 0; round < kRounds; ++round)
    for (std::size_t i = 0; i < count_; ++i) {
      Sine& each = sines_[i];
      band_->add(each.sine, 1.0);
      const MovingSine refined = band_->refine(each.sine, each.moves);
      // A step wider than the ridge is has lost the ridge.
      const double width_hz = 1.0 / band_->span_s();
      if (std::abs(refined.rate_hz - each.sine.rate_hz) < kReachWidths * width_hz)
        each.sine = refined;
      else
        each.sine.amplitude = band_->at(each.sine.rate_hz, each.sine.change_hz_per_s);
      band_->add(each.sine, -1.0);
    }
}

void SlowMovers::try_to_move(Sine& each) noexcept {
  band_->add(each.sine, 1.0);
  const double most = kMostChangePerS * each.sine.rate_hz;
  const MovingSine coarse =
      band_->search({.rate_hz = each.peak.rate_hz, .reach_hz = kReachWidths / band_->span_s(), .most_change = most});
  const MovingSine moving = band_->refine(coarse, true);
  const double gain = std::norm(moving.amplitude) - std::norm(each.sine.amplitude);
  const bool near = std::abs(moving.rate_hz - each.peak.rate_hz) < 2.0 * kReachWidths / band_->span_s();
  // A narrow peak's change is within a width: the fit itself tells whether it is one.
  const bool better = each.peak.steady || gain > kSureGain * floors_->floor_at(each.sine.rate_hz);
  if (near && better && std::abs(moving.change_hz_per_s) < most) {
    each.sine = moving;
    each.moves = true;
  }
  band_->add(each.sine, -1.0);
}

// Mean power left close to a sine, turned with it.
double SlowMovers::power_around(const MovingSine& sine) const noexcept {
  const double width_hz = 1.0 / band_->span_s();
  double sum = 0.0;
  int count = 0;
  for (double away = 1.0; away < 3.6; away += 0.5)
    for (const double side : {-1.0, 1.0}) {
      sum += std::norm(band_->at(sine.rate_hz + side * away * width_hz, sine.change_hz_per_s));
      ++count;
    }
  return sum / count;
}

// What chance may make of the change, before the sine is taken out; nothing where the shape is not a sine's.
std::optional<double> SlowMovers::change_u95(const MovingSine& sine, double relative_sigma) const noexcept {
  const SlowBand::Shape shape = band_->shape(sine);
  std::array<WanderPart, 2 * SlowBand::kOrders> others{};
  std::size_t count = 0;
  double astray = 0.0;
  double by_noise = 0.0;
  for (std::size_t k = 2; k < SlowBand::kOrders; ++k) {
    const double sigma = relative_sigma * shape.noise[k];
    const double share = 4.0 / static_cast<double>(k * k);
    others[count++] = {shape.parts[k].real(), sigma, share};
    if (k > 2) others[count++] = {shape.parts[k].imag(), sigma, share};
    astray += std::norm(shape.parts[k]);
    by_noise += 2.0 * sigma * sigma;
  }
  if (astray > kMostAstray + 2.0 * by_noise) return std::nullopt;
  const double part_u95 = wander_u95(std::span(others).first(count), relative_sigma * shape.noise[2]);
  return std::hypot(part_u95 * shape.change_per_radian, kChangeBiasWidths / (band_->span_s() * band_->span_s()));
}

// Fills in the peak, the sine being taken out; whether it is called moving.
bool SlowMovers::judge(Sine& each) noexcept {
  const double span_s = band_->span_s();
  const double peak = std::abs(each.sine.amplitude);
  const double change = each.sine.change_hz_per_s;
  band_->add(each.sine, 1.0);
  const auto u95 = change_u95(each.sine, std::sqrt(0.5 * floors_->floor_at(each.sine.rate_hz)) / peak);
  band_->add(each.sine, -1.0);
  const double drifted = each.sine.rate_hz * drift_percent_per_s_ / 100.0;
  if (!u95 || std::min(std::abs(change), std::abs(change - drifted)) < kClearly * *u95) return false;

  const double sigma = std::sqrt(0.5 * std::max(floors_->floor_at(each.sine.rate_hz), power_around(each.sine))) / peak;
  each.peak.rate_hz = each.sine.rate_hz;
  each.peak.rate_u95_hz = std::hypot(kNormal95 * kHannRate * sigma, kRateBiasWidths) / span_s;
  each.peak.peak_percent = peak;
  each.peak.peak_u95_percent = std::hypot(kNormal95 * sigma, kPeakBias) * peak;
  each.peak.moving = true;
  each.peak.change_hz_per_minute = 60.0 * change;
  each.peak.change_u95_hz_per_minute = 60.0 * *u95;
  return true;
}

void SlowMovers::try_to_add(double rate_hz, double reach_hz, double change_hz_per_s, double least_percent) noexcept {
  if (count_ == kMostSines || rate_hz > kHighestHz) return;
  const double step = 1.0 / (band_->span_s() * band_->span_s());
  const MovingSine coarse = band_->search({rate_hz, reach_hz, change_hz_per_s, step});
  const MovingSine sine = band_->refine(coarse, true);
  const double peak = std::abs(sine.amplitude);
  if (peak < least_percent || std::abs(sine.rate_hz - rate_hz) > reach_hz + 1.0 / band_->span_s()) return;
  if (peak * peak < floors_->told_over_floor() * floors_->floor_at(sine.rate_hz)) return;
  for (std::size_t i = 0; i < count_; ++i)
    if (std::abs(sines_[i].sine.rate_hz - sine.rate_hz) < 1.0 / band_->span_s()) return;
  sines_[count_++] = {.sine = sine, .peak = {}, .moves = true, .found = false};
  band_->add(sine, -1.0);
}

// A mover's n-th harmonic moves n times as fast: its ridge is n times as broad, and low. It may hide other peaks.
void SlowMovers::look_beneath() noexcept {
  const std::size_t found = count_;
  const double width_hz = 1.0 / band_->span_s();
  for (std::size_t i = 0; i < found; ++i) {
    Sine judged = sines_[i];
    if (!sines_[i].moves || !judge(judged)) continue;
    const MovingSine sine = sines_[i].sine;
    const double least = kLeakShare * std::abs(sine.amplitude);
    for (int k = 2; k <= kHarmonics; ++k) try_to_add(k * sine.rate_hz, width_hz, k * sine.change_hz_per_s, 0.0);
    // What the ridge hid: a rate that stands still, or one that moves either way.
    for (const double change : {0.0, -sine.change_hz_per_s, sine.change_hz_per_s})
      try_to_add(sine.rate_hz, kBeneathWidths * width_hz, change, least);
  }
  if (count_ > found) separate();
}

// A weaker peak that a mover's own sine has taken most of.
bool SlowMovers::under_a_ridge(const Sine& each) const noexcept {
  const double peak = std::abs(each.sine.amplitude);
  if (peak * peak > floors_->told_over_floor() * floors_->floor_at(each.sine.rate_hz) &&
      peak > kLeftShare * each.peak.peak_percent)
    return false;
  for (std::size_t i = 0; i < count_; ++i) {
    const MovingSine& other = sines_[i].sine;
    const double swept_hz = 0.5 * std::abs(other.change_hz_per_s) * band_->span_s() + 2.0 / band_->span_s();
    if (sines_[i].peak.moving && std::abs(other.amplitude) > peak &&
        std::abs(other.rate_hz - each.sine.rate_hz) < swept_hz)
      return true;
  }
  return false;
}

void SlowMovers::gather(std::span<const FlutterPeak> peaks) noexcept {
  for (std::size_t i = 0; i < count_; ++i)
    if (sines_[i].moves) (void)judge(sines_[i]);
  out_count_ = 0;
  for (std::size_t i = 0; i < count_ && out_count_ < out_.size(); ++i) {
    const Sine& each = sines_[i];
    if (each.peak.moving || (each.found && !under_a_ridge(each))) out_[out_count_++] = each.peak;
  }
  // Beyond 3 Hz, and any beyond those looked at.
  std::size_t slow = 0;
  for (const FlutterPeak& peak : peaks) {
    if (peak.rate_hz <= kHighestHz && slow++ < kMostSines) continue;
    if (out_count_ < out_.size()) out_[out_count_++] = peak;
  }
  sort_few(out_.begin(), out_.begin() + static_cast<std::ptrdiff_t>(out_count_),
           [](const FlutterPeak& a, const FlutterPeak& b) { return a.peak_percent > b.peak_percent; });
}

}  // namespace four76
