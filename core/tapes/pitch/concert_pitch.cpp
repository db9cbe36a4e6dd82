#include "core/tapes/pitch/concert_pitch.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace four76 {
namespace {

constexpr int kFramesAStretch = 128;  // 5.5 s
constexpr std::size_t kMostStretches = 16;
constexpr double kLowest_cents = -3600.0;  // A of 55 Hz
constexpr int kSemitones = 80;
constexpr int kBins = 100 * kSemitones;
// Tuned: on two speeds of 42 recordings of music; 7 and 14 cents agree worse.
constexpr double kWindow_cents = 10.0;
constexpr int kLeastAge = 3;  // frames: what is newer is an attack or noise; tuned as the window
// What goes on for longer is no note: a tone of a speed tape, a hum, a whistle. 8 s are of our own choosing: of 60
// recordings of music seven in a thousand partials last longer, and the centre moves by 0.014 cents in the median.
constexpr int kMostAge = 187;                // frames
constexpr double kSameHarmonic_cents = 8.0;  // less than from 14 cents below the scale to the scale
constexpr float kOfLower = 0.1F;  // a fundamental is at most 10 dB weaker than its partial (of our own choosing)
constexpr int kMostRounds = 12;
constexpr double kStands_cents = 0.005;

// The orders of harmonics that lie off the tempered scale, in cents above the fundamental.
constexpr std::array<double, 4> kOffScale_cents{2786.31, 3368.83, 3986.31, 4568.83};

bool is_off_scale(std::span<const Partial> frame, const Partial& partial) noexcept {
  for (const double above : kOffScale_cents) {
    const double wanted = partial.cents - above;
    const auto lower = std::lower_bound(frame.begin(), frame.end(), wanted - kSameHarmonic_cents,
                                        [](const Partial& one, double cents) { return one.cents < cents; });
    for (auto at = lower; at != frame.end() && at->cents <= wanted + kSameHarmonic_cents; ++at)
      if (at->level > kOfLower * partial.level) return true;
  }
  return false;
}

// What one semitone about the centre holds under the window.
struct Share {
  double weight = 0.0, offset = 0.0;  // the offset times the weight
};

Share share_of(std::span<const float> partials, int semitone, double centre) noexcept {
  Share share;
  const double middle = 100.0 * semitone + centre;
  const int first = std::max(0, static_cast<int>(std::ceil(middle - 50.0)));
  const int last = std::min(kBins - 1, static_cast<int>(std::ceil(middle + 50.0)) - 1);
  for (int bin = first; bin <= last; ++bin) {
    const auto count = static_cast<double>(partials[static_cast<std::size_t>(bin)]);
    if (count <= 0.0) continue;
    const double offset = bin - middle;
    const double weight = count * std::exp(-offset * offset / (2.0 * kWindow_cents * kWindow_cents));
    share.weight += weight;
    share.offset += weight * offset;
  }
  return share;
}

struct CircularMean {
  double centre = 0.0, concentration = 0.0;
};

CircularMean circular_mean(std::span<const float> partials) noexcept {
  std::array<double, 100> by_cent{};
  for (std::size_t bin = 0; bin < partials.size(); ++bin) by_cent[bin % 100] += static_cast<double>(partials[bin]);
  double x = 0.0, y = 0.0, all = 0.0;
  for (std::size_t cent = 0; cent < by_cent.size(); ++cent) {
    const double angle = 2.0 * std::numbers::pi * static_cast<double>(cent) / 100.0;
    x += by_cent[cent] * std::cos(angle);
    y += by_cent[cent] * std::sin(angle);
    all += by_cent[cent];
  }
  if (all <= 0.0) return {};
  return {.centre = std::atan2(y, x) / (2.0 * std::numbers::pi) * 100.0, .concentration = std::hypot(x, y) / all};
}

// One round of the M-estimate, without one of eight groups of semitones where `left_out` says which.
double moved_centre(std::span<const float> partials, double centre, double mean_count, int left_out = -1) noexcept {
  double weight = 0.0, offset = 0.0;
  for (int semitone = -1; semitone <= kSemitones; ++semitone) {
    if (left_out >= 0 && (semitone + 8) % 8 == left_out) continue;
    const Share share = share_of(partials, semitone, centre);
    if (share.weight <= 0.0) continue;
    const double counts = 1.0 / std::sqrt(share.weight + 0.1 * mean_count);
    weight += counts * share.weight;
    offset += counts * share.offset;
  }
  return weight > 0.0 ? centre + offset / weight : centre;
}

double mean_count(std::span<const float> partials) noexcept {
  double sum = 0.0;
  for (const float count : partials) sum += static_cast<double>(count);
  return sum / kSemitones;
}

double centre_from(std::span<const float> partials, double start) noexcept {
  const double mean = mean_count(partials);
  double centre = start;
  for (int round = 0; round < kMostRounds; ++round) {
    const double next = moved_centre(partials, centre, mean);
    const bool stands = std::abs(next - centre) < kStands_cents;
    centre = next;
    if (stands) break;
  }
  return centre;
}

double within_semitone(double cents) noexcept { return cents - 100.0 * std::round(cents / 100.0); }

// The variance of an estimate from what it becomes without each of so many parts (Efron and Stein 1981, from memory).
class Jackknife {
 public:
  void add(double change) noexcept {
    ++count_;
    sum_ += change;
    square_ += change * change;
  }
  [[nodiscard]] double variance() const noexcept {
    if (count_ < 2) return 0.0;
    const double n = count_;
    return (n - 1.0) / n * std::max(0.0, square_ - sum_ * sum_ / n);
  }

 private:
  int count_ = 0;
  double sum_ = 0.0, square_ = 0.0;
};

}  // namespace

ConcertPitch::ConcertPitch()
    : stretches_(kMostStretches, {.partials = Histogram(kBins)}), frames_a_stretch_(kFramesAStretch), all_(kBins) {}

void ConcertPitch::reset() noexcept {
  for (Stretch& stretch : stretches_) {
    std::fill(stretch.partials.begin(), stretch.partials.end(), 0.0F);
    stretch.frames = 0;
  }
  std::fill(all_.begin(), all_.end(), 0.0F);
  used_ = 0;
  frames_a_stretch_ = kFramesAStretch;
  centre_.reset();
}

void ConcertPitch::add(std::span<const Partial> frame) noexcept {
  Stretch& stretch = stretches_[used_];
  bool has_notes = false;
  for (const Partial& partial : frame) {
    const double at = partial.cents - kLowest_cents;
    if (partial.age < kLeastAge || partial.age > kMostAge || !(at >= 0.0 && at < kBins - 1)) continue;
    if (is_off_scale(frame, partial)) continue;
    const auto bin = static_cast<std::size_t>(at);
    const auto part = static_cast<float>(at - static_cast<double>(bin));
    stretch.partials[bin] += 1.0F - part;
    stretch.partials[bin + 1] += part;
    has_notes = true;
  }
  // Silence takes no time: what a stretch holds is music.
  if (has_notes && ++stretch.frames >= frames_a_stretch_) end_stretch();
}

void ConcertPitch::end_stretch() noexcept {
  for (std::size_t bin = 0; bin < all_.size(); ++bin) all_[bin] += stretches_[used_].partials[bin];
  if (++used_ == kMostStretches) fold_stretches();
  centre_ = within_semitone(centre_from(all_, circular_mean(all_).centre));
}

void ConcertPitch::fold_stretches() noexcept {
  for (std::size_t i = 0; i < kMostStretches / 2; ++i) {
    Stretch &into = stretches_[i], &first = stretches_[2 * i], &second = stretches_[2 * i + 1];
    for (std::size_t bin = 0; bin < into.partials.size(); ++bin)
      into.partials[bin] = first.partials[bin] + second.partials[bin];
    into.frames = first.frames + second.frames;
  }
  used_ = kMostStretches / 2;
  for (std::size_t i = used_; i < kMostStretches; ++i) {
    std::fill(stretches_[i].partials.begin(), stretches_[i].partials.end(), 0.0F);
    stretches_[i].frames = 0;
  }
  frames_a_stretch_ *= 2;
}

std::optional<Tuning> ConcertPitch::tuning() const {
  if (used_ < 2) return std::nullopt;
  const CircularMean start = circular_mean(all_);
  const double centre = centre_from(all_, start.centre);
  const double mean = mean_count(all_);
  Jackknife over_time, over_notes;
  Histogram without(all_.size());
  for (std::size_t i = 0; i < used_; ++i) {
    for (std::size_t bin = 0; bin < all_.size(); ++bin) without[bin] = all_[bin] - stretches_[i].partials[bin];
    over_time.add(moved_centre(without, centre, mean) - centre);
  }
  for (int group = 0; group < 8; ++group) over_notes.add(moved_centre(all_, centre, mean, group) - centre);
  double frames = 0.0;
  for (std::size_t i = 0; i < used_; ++i) frames += stretches_[i].frames;
  return Tuning{.cents = within_semitone(centre),
                .u95_cents = 1.96 * std::sqrt(over_time.variance() + over_notes.variance()),
                .concentration = start.concentration,
                .heard_s = frames * kMovementStep_s};
}

}  // namespace four76
