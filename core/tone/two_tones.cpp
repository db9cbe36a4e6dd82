#include "core/tone/two_tones.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/tone/tone_search.hpp"

namespace four76 {

namespace {

constexpr int kForgetAfter = 2;        // looks
constexpr double kSameLineHz = 1.0;    // two looks at one line
constexpr double kBesideShare = 0.02;  // of the nominal: wow of 0.6 %, and flutter's lines up to 40 Hz at 3000 Hz
constexpr double kSteadyRad = 0.25;    // a tone that moves by less is taken out as a line

PairFinder::Config finder_config(const BandRecord& band, double nominal_hz) {
  return {band.capacity(), band.rate_hz(), kSearchRange * nominal_hz, kBesideShare * nominal_hz};
}

}  // namespace

TwoTones::TwoTones(const Config& config)
    : config_(config),
      canceller_(config.sample_rate_hz),
      band_({config.sample_rate_hz, config.nominal_hz}),
      finder_(finder_config(band_, config.nominal_hz)),
      newest_(band_.capacity()),
      cleaned_(config.largest_block) {}

void TwoTones::reset() noexcept {
  canceller_.reset();
  band_.reset();
  pair_.reset();
  missed_ = 0;
}

std::span<const float> TwoTones::clean(std::span<const float> samples) noexcept {
  assert(samples.size() <= cleaned_.size() && "blocks of at most largest_block samples");
  const std::span<float> cleaned = std::span(cleaned_).first(samples.size());
  std::copy(samples.begin(), samples.end(), cleaned.begin());
  canceller_.process(cleaned);
  band_.process(cleaned);
  return cleaned;
}

bool TwoTones::look(std::optional<double> followed_hz) noexcept {
  const std::size_t count = band_.copy_newest(newest_);
  auto found = finder_.find(std::span(newest_).first(count));
  if (!found) {
    if (++missed_ >= kForgetAfter) pair_.reset();
    return false;
  }
  missed_ = 0;
  found->line.frequency_hz += config_.nominal_hz;
  found->other.frequency_hz += config_.nominal_hz;
  const std::optional<TonePair> before = pair_;
  pair_ = found;
  const bool same =
      before && before->other_wows && std::abs(before->line.frequency_hz - found->line.frequency_hz) < kSameLineHz;
  if (!config_.near_hz && !(same && found->other_wows)) return false;
  const SteadyTone* const unwanted = not_the_tapes(*found, followed_hz);
  if (!unwanted) return false;
  canceller_.start(at_the_input(*unwanted));
  band_.reset();  // it holds the tone that is gone
  pair_.reset();
  return true;
}

// Nothing where it moves, and cannot be taken out as a line.
const SteadyTone* TwoTones::not_the_tapes(const TonePair& pair, std::optional<double> followed_hz) const noexcept {
  if (!config_.near_hz) return &pair.line;
  // Once a tone was taken out, the one that is followed is the tape's, wherever the trimmer has brought it.
  const double near_hz = canceller_.on() && followed_hz ? *followed_hz : *config_.near_hz;
  if (&pair.nearer_to(near_hz) == &pair.other) return &pair.line;
  return pair.other_wander_rad < kSteadyRad ? &pair.other : nullptr;
}

// From the band's newest sample to the input's, with the phase by which the band was turned back.
SteadyTone TwoTones::at_the_input(SteadyTone tone) const noexcept {
  tone.cycles += band_.turned_back_cycles() + tone.frequency_hz * band_.delay_s();
  tone.cycles -= std::floor(tone.cycles);
  return tone;
}

std::optional<std::array<double, 2>> TwoTones::undecided_hz() const noexcept {
  if (!pair_) return std::nullopt;
  return std::array{pair_->louder().frequency_hz, pair_->softer().frequency_hz};
}

}  // namespace four76
