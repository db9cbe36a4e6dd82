#include "core/tone/tone_search.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>
#include <cmath>
#include <complex>
#include <numbers>

#include "core/signal/spectrum.hpp"
#include "core/signal/statistics.hpp"

namespace four76 {

namespace {

// Four frames of white noise seldom lift one of some 300 widened bins more than 11 dB above the median (found by
// simulation, 1 in 10,000 searches); a tone of 35 dB-Hz stands 17 dB above it.
constexpr double kLeastProminenceDb = 13.0;

constexpr double kDbPerPercent = 0.5;  // 12 dB at the ends of the range

// The onset of a tone is a click: wait until the tone itself fills the frames.
constexpr double kWowShare = 0.03;
constexpr float kOldestOverMedian = 16.0F;  // power, 12 dB: the strongest of some fifty bins of noise reaches 9 dB

constexpr double kOnsetHopS = 0.01;
constexpr double kOnsetPeriods = 4.0;
constexpr double kOnsetShare = 0.35;
constexpr std::size_t kMostHops = 64;

// The floor to stand above is taken from a wider band: a low tone's own has but a few bins.
constexpr double kFloorRange = 0.5;

std::size_t frame_size(const ToneSearch::Config& config) {
  const double wanted_s = config.nominal_hz >= 1000.0 ? 0.085 : 0.17;
  const auto wanted = static_cast<std::size_t>(wanted_s * config.sample_rate_hz);
  const std::size_t above = std::bit_ceil(std::max<std::size_t>(wanted, 64));
  const std::size_t below = above / 2;
  return above - wanted < wanted - below ? above : below;
}

}  // namespace

ToneSearch::ToneSearch(const Config& config)
    : config_(config),
      fft_(frame_size(config)),
      hop_(fft_.size() / (config.nominal_hz >= 1000.0 ? 4 : 8)),
      window_(hann_window(fft_.size())),
      windowed_(fft_.size()) {
  const double bin_hz = config.sample_rate_hz / static_cast<double>(fft_.size());
  const double top = static_cast<double>(fft_.size()) / 2.0 - 2.0;
  const auto lower = [&](double share) {
    return static_cast<std::size_t>(std::max(2.0, std::floor((1.0 - share) * config.nominal_hz / bin_hz)));
  };
  const auto upper = [&](double share) {
    return static_cast<std::size_t>(std::min(top, std::ceil((1.0 + share) * config.nominal_hz / bin_hz)));
  };
  first_bin_ = lower(kFloorRange);
  const std::size_t last_bin = upper(kFloorRange);
  assert(first_bin_ < last_bin && "the band to search lies within the spectrum");
  const std::size_t bins = last_bin - first_bin_ + 3;  // a bin more on either side
  search_first_ = lower(kSearchRange) - first_bin_ + 1;
  search_last_ = upper(kSearchRange) - first_bin_ + 1;
  power_.resize(bins);
  frame_power_.resize(bins);
  oldest_power_.resize(bins);
  score_db_.resize(bins);
  scratch_.resize(bins);
}

void ToneSearch::add_frame_levels(std::span<const float> frame, std::size_t index) noexcept {
  for (std::size_t n = 0; n < frame.size(); ++n) windowed_[n] = frame[n] * window_[n];
  const auto spectrum = fft_.transform(windowed_);
  for (std::size_t k = 0; k < frame_power_.size(); ++k) frame_power_[k] = std::norm(spectrum[first_bin_ - 1 + k]);
  if (index == 0) {
    std::fill(power_.begin(), power_.end(), 0.0F);
    std::fill(score_db_.begin(), score_db_.end(), 0.0F);
    std::copy(frame_power_.begin(), frame_power_.end(), oldest_power_.begin());
  }
  for (std::size_t k = 1; k + 1 < frame_power_.size(); ++k) {
    const float widened = std::max({frame_power_[k - 1], frame_power_[k], frame_power_[k + 1]});
    score_db_[k] += static_cast<float>(db_of_power(static_cast<double>(widened) + 1e-20)) / kFrames;
  }
  for (std::size_t k = 0; k < power_.size(); ++k) power_[k] += frame_power_[k] / kFrames;
}

double ToneSearch::interpolated_bin(std::size_t bin) const noexcept {
  const auto level = [&](std::size_t k) { return db_of_power(static_cast<double>(power_[k]) + 1e-20); };
  return static_cast<double>(bin) + parabolic_peak(level(bin - 1), level(bin), level(bin + 1)).offset_bins;
}

double ToneSearch::power_share(std::size_t bin) const noexcept {
  const std::size_t reach = 2 + static_cast<std::size_t>(kWowShare / 2.0 * static_cast<double>(first_bin_ + bin));
  double all = 0.0;
  double tone = 0.0;
  for (std::size_t k = 0; k < power_.size(); ++k) {
    const auto power = static_cast<double>(power_[k]);
    all += power;
    if (k + reach >= bin && k <= bin + reach) tone += power;
  }
  return all > 0.0 ? tone / all : 0.0;
}

// A second tone beside it would be a peak of its own; beats of two tones in one peak show in the level.
bool ToneSearch::stands_alone(std::size_t bin) const noexcept {
  constexpr float kAlone = 0.02F;  // of its power: 12 dB below, and spread over the bins by its wow
  // Below 1 kHz the bins are half as wide, and an onset spreads over twice as many.
  const std::size_t lobe = config_.nominal_hz >= 1000.0 ? 3 : 6;
  const std::size_t reach = lobe + static_cast<std::size_t>(kWowShare / 2.0 * static_cast<double>(first_bin_ + bin));
  for (std::size_t k = search_first_; k <= search_last_; ++k)
    if ((k + reach < bin || k > bin + reach) && power_[k] > kAlone * power_[bin]) return false;
  return true;
}

// Whether the oldest frame holds the tone already, a little beside its place if it wows.
bool ToneSearch::was_there_at_first(std::size_t bin) noexcept {
  const auto reach = static_cast<std::size_t>(2.0 + kWowShare * static_cast<double>(first_bin_ + bin));
  const std::size_t from = bin > reach ? bin - reach : 0;
  const std::size_t to = std::min(oldest_power_.size(), bin + reach + 1);
  const float strongest = *std::max_element(oldest_power_.begin() + static_cast<std::ptrdiff_t>(from),
                                            oldest_power_.begin() + static_cast<std::ptrdiff_t>(to));
  std::copy(oldest_power_.begin(), oldest_power_.end(), scratch_.begin());
  return strongest > kOldestOverMedian * median_of(std::span(scratch_));
}

std::size_t ToneSearch::onset(std::span<const float> heard, double frequency_hz) const noexcept {
  const double hop_s = std::max(kOnsetHopS, kOnsetPeriods / frequency_hz);
  const auto hop = static_cast<std::size_t>(hop_s * config_.sample_rate_hz);
  const std::size_t hops = std::min(heard.size() / hop, kMostHops);
  if (hops == 0) return 0;
  std::array<double, kMostHops> level{};
  const double step = 2.0 * std::numbers::pi * frequency_hz / config_.sample_rate_hz;
  const std::complex<double> turn = std::polar(1.0, -step);
  const std::size_t first = heard.size() - hops * hop;
  for (std::size_t h = 0; h < hops; ++h) {
    std::complex<double> phasor = 1.0;
    std::complex<double> sum = 0.0;
    for (const float x : heard.subspan(first + h * hop, hop)) {
      sum += static_cast<double>(x) * phasor;
      phasor *= turn;
    }
    level[h] = std::abs(sum);
  }
  std::array<double, kMostHops> sorted = level;
  const double usual = median_of(std::span(sorted).first(hops));
  // Back from the newest: the tone reaches as far as its level holds.
  std::size_t from = hops;
  while (from > 0 && level[from - 1] > kOnsetShare * std::max(usual, level[hops - 1])) --from;
  return from == hops ? 0 : first + from * hop;
}

std::optional<FoundTone> ToneSearch::find(std::span<const float> newest) noexcept {
  assert(newest.size() == span_samples() && "find() takes exactly its span");
  for (std::size_t i = 0; i < kFrames; ++i) add_frame_levels(newest.subspan(i * hop_, fft_.size()), i);

  const auto inner = std::span(score_db_).subspan(1, score_db_.size() - 2);
  const auto searched = std::span(score_db_).subspan(search_first_, search_last_ - search_first_ + 1);
  // A machine is a few percent off as a rule: what stands further away must stand out more.
  const double nominal_index = config_.nominal_hz * static_cast<double>(fft_.size()) / config_.sample_rate_hz -
                               static_cast<double>(first_bin_) + 1.0 - static_cast<double>(search_first_);
  const double db_per_bin =
      kDbPerPercent * 100.0 * config_.sample_rate_hz / (static_cast<double>(fft_.size()) * config_.nominal_hz);
  const auto worth = [&](std::size_t i) {
    return static_cast<double>(searched[i]) - db_per_bin * std::abs(static_cast<double>(i) - nominal_index);
  };
  std::size_t best_index = 0;
  for (std::size_t i = 1; i < searched.size(); ++i)
    if (worth(i) > worth(best_index)) best_index = i;
  const auto best = searched.begin() + static_cast<std::ptrdiff_t>(best_index);
  std::copy(inner.begin(), inner.end(), scratch_.begin());
  const double median_db = static_cast<double>(median_of(std::span(scratch_).first(inner.size())));
  const double prominence_db = static_cast<double>(*best) - median_db;
  // The widened score has a flat top: the strongest bin under it is the tone's.
  const auto around = static_cast<std::size_t>(best - searched.begin()) + search_first_;
  std::size_t bin = around;
  for (std::size_t k = std::max<std::size_t>(around, 3) - 2; k <= std::min(around + 2, power_.size() - 2); ++k)
    if (power_[k] > power_[bin]) bin = k;
  // Digital silence has no median to stand above; nothing below -120 dBFS is a tone.
  const double size = static_cast<double>(fft_.size());
  const double amplitude = 4.0 * std::sqrt(static_cast<double>(power_[bin])) / size;
  if (prominence_db < kLeastProminenceDb || amplitude < 1e-6 || !was_there_at_first(bin)) return std::nullopt;
  const double bin_hz = config_.sample_rate_hz / size;
  return FoundTone{(static_cast<double>(first_bin_ - 1) + interpolated_bin(bin)) * bin_hz, amplitude, power_share(bin),
                   stands_alone(bin)};
}

}  // namespace four76
