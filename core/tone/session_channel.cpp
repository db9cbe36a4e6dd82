#include "core/tone/session_channel.hpp"

#include <algorithm>
#include <array>
#include <bit>

#include "core/tone/limited_tone.hpp"
#include "core/tone/mains_comb.hpp"

namespace four76 {

namespace {

constexpr std::size_t kTrailCapacity = 800;  // 40 s
constexpr double kSpectrumTopHz = 10000.0;   // of the view
constexpr double kHarmonicsTopHz = 20000.0;  // of what is kept, for the tone's third harmonic
constexpr double kSpectrumBinHz = 6.0;
constexpr std::uint64_t kSeenInOneOf = 4;  // looks: then it is worth a reason

std::size_t spectrum_size(double sample_rate_hz) {
  const auto wanted = static_cast<std::size_t>(sample_rate_hz / kSpectrumBinHz);
  return std::bit_floor(std::max<std::size_t>(wanted, 256));
}

Reading on_the_input_clock(Reading reading, double discarded_s) noexcept {
  reading.time_s += discarded_s;
  return reading;
}

bool both_are_hum(const std::array<double, 2>& tones_hz) noexcept {
  constexpr double kOnGridHz = 0.25;
  const auto first = mains_of(tones_hz[0], kOnGridHz);
  return first && mains_of(tones_hz[1], kOnGridHz) == first;
}

// Hum that withholds or widens the reading is named for what it is, before the noise that it looks like.
void blame_hum(Reading& reading) noexcept {
  if (reading.candidates_hz && !both_are_hum(*reading.candidates_hz)) return;  // one may be the tape's
  const bool measured = reading.status == Status::measured;
  if (measured && !reading.reasons.contains(Reason::room_noise) && !reading.reasons.contains(Reason::competing_tone))
    return;
  const Reason first = reading.reasons.empty() ? Reason::mains_hum : *reading.reasons.begin();
  const bool is_cause = first == Reason::no_tone || first == Reason::room_noise || first == Reason::competing_tone ||
                        first == Reason::too_quiet;
  if (is_cause)
    reading.reasons.add_first(Reason::mains_hum);
  else
    reading.reasons.add(Reason::mains_hum);
}

}  // namespace

SessionChannel::SessionChannel(const ToneMeter::Config& config)
    : meter_(config),
      spectrum_({config.sample_rate_hz, spectrum_size(config.sample_rate_hz), 1.0, kHarmonicsTopHz}),
      picture_(viewed().size()),
      zoom_picture_(meter_.zoom().power().size()),
      trail_(kTrailCapacity),
      comb_scratch_(kMostHarmonics) {}

void SessionChannel::reset() noexcept {
  meter_.reset();
  spectrum_.reset();
  dial_ = calm_ = {};
  flutter_ = {};
  trail_next_ = trail_size_ = 0;
  limited_seen_ = hum_seen_ = 0;
}

void SessionChannel::process(std::span<float> block) noexcept {
  meter_.process(block);
  spectrum_.process(block);
}

void SessionChannel::make_readings(std::uint64_t dials, double discarded_s) noexcept {
  dial_ = on_the_input_clock(meter_.read_dial(), discarded_s);
  add_to_trail(dial_);
  if (dials % kDialsPerCalm != 0) return;
  if (limited()) ++limited_seen_;
  if (humming()) ++hum_seen_;
  calm_ = on_the_input_clock(meter_.read_calm(), discarded_s);
  flutter_ = meter_.read_live_flutter();
}

Reading SessionChannel::whole(std::uint64_t dials, double discarded_s) const noexcept {
  Reading reading = on_the_input_clock(meter_.read_whole(), discarded_s);
  if (kSeenInOneOf * kDialsPerCalm * limited_seen_ > dials) reading.reasons.add(Reason::clipping);
  if (kSeenInOneOf * kDialsPerCalm * hum_seen_ > dials) blame_hum(reading);
  return reading;
}

std::span<const float> SessionChannel::viewed() const noexcept {
  const auto bins = static_cast<std::size_t>(kSpectrumTopHz / spectrum_.bin_hz()) + 1;
  return spectrum_.power().first(std::min(bins, spectrum_.power().size()));
}

bool SessionChannel::limited() const noexcept {
  const auto tone_hz = meter_.tone_hz();
  return tone_hz && spectrum_.ready() && is_limited(spectrum_.power(), spectrum_.bin_hz(), *tone_hz);
}

// Whether what lies around the tone is the mains: power on the harmonics of 50 or 60 Hz, and little between them.
bool SessionChannel::humming() noexcept {
  return spectrum_.ready() &&
         has_comb(spectrum_.power(), spectrum_.bin_hz(), meter_.nominal_hz(), meter_.tone_hz(), comb_scratch_);
}

void SessionChannel::add_to_trail(const Reading& reading) noexcept {
  TrailPoint point{reading.time_s, Status::no_tone, 0.0, 0.0};
  if (reading.speed_error_percent && reading.u95_percent)
    point = {reading.time_s, reading.status, *reading.speed_error_percent, *reading.u95_percent};
  trail_[trail_next_] = point;
  trail_next_ = (trail_next_ + 1) % trail_.size();
  trail_size_ = std::min(trail_size_ + 1, trail_.size());
}

std::size_t SessionChannel::trail(std::span<TrailPoint> out) const noexcept {
  const std::size_t count = std::min(out.size(), trail_size_);
  for (std::size_t i = 0; i < count; ++i) out[i] = trail_[(trail_next_ + trail_.size() - count + i) % trail_.size()];
  return count;
}

SpectrumView SessionChannel::spectrum() const noexcept {
  if (!spectrum_.ready()) return {};
  return picture_.draw(viewed(), 0.0, spectrum_.bin_hz(), meter_.tone_hz());
}

SpectrumView SessionChannel::zoom() const noexcept {
  const ZoomSpectrum& zoom = meter_.zoom();
  const auto tone_hz = meter_.tone_hz();
  if (!zoom.ready() || !tone_hz) return {};
  return zoom_picture_.draw_around(zoom.power(), zoom.first_hz(), zoom.bin_hz(), *tone_hz, meter_.interferers());
}

}  // namespace four76
