#include "core/tone/tone_session.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>
#include <cmath>
#include <deque>
#include <vector>

#include "core/phrase.hpp"
#include "core/signal/spectrum.hpp"
#include "core/tone/mains_comb.hpp"
#include "core/tone/nominal_tones.hpp"
#include "core/tone/spectrum_picture.hpp"
#include "core/tone/tone_meter.hpp"

namespace four76 {

namespace {

constexpr double kLowestRateHz = 8000.0;
constexpr double kHighestRateHz = 192000.0;
constexpr double kClockShare = 0.001;  // a corrected clock: up to 1000 ppm beside the rate that it claims
constexpr double kDialsPerSecond = 20.0;
constexpr std::uint64_t kDialsPerCalm = 10;
constexpr std::size_t kTrailCapacity = 800;  // 40 s
constexpr double kSpectrumTopHz = 10000.0;   // of the view
constexpr double kHarmonicsTopHz = 20000.0;  // of what is kept, for the tone's third harmonic
constexpr double kSpectrumBinHz = 6.0;
constexpr double kEnoughToCompareS = 0.5;
constexpr std::size_t kBlock = 128;  // what the meters get at a time, whatever process() gets
static_assert(kBlock <= ToneMeter::kLargestBlock);
// Tape itself gives a third harmonic of 1 to 3 %, 5 % when driven hard: -40 to -26 dB (common practice). A limit 3 dB
// into the sine gives -22 dB (derived: Fourier series of a sine limited at 0.71 of its peak); its fifth may vanish.
constexpr double kThirdOfLimitedDb = -22.5;

std::size_t spectrum_size(double sample_rate_hz) {
  const auto wanted = static_cast<std::size_t>(sample_rate_hz / kSpectrumBinHz);
  return std::bit_floor(std::max<std::size_t>(wanted, 256));
}

struct Channel {
  explicit Channel(const ToneSession::Config& config)
      : meter({config.sample_rate_hz, config.nominal_hz, config.live_capture, config.dial_window_s,
               config.calm_window_s}),
        spectrum({config.sample_rate_hz, spectrum_size(config.sample_rate_hz), 1.0, kHarmonicsTopHz}),
        picture(viewed().size()),
        zoom_picture(meter.zoom().power().size()),
        trail(kTrailCapacity),
        comb_scratch(kMostHarmonics) {}

  void reset() noexcept {
    meter.reset();
    spectrum.reset();
    dial = calm = {};
    flutter = {};
    trail_next = trail_size = 0;
    limited_seen = hum_seen = 0;
  }

  [[nodiscard]] std::span<const float> viewed() const noexcept {
    const auto bins = static_cast<std::size_t>(kSpectrumTopHz / spectrum.bin_hz()) + 1;
    return spectrum.power().first(std::min(bins, spectrum.power().size()));
  }

  // Power about a frequency, wide enough for its wow, less the noise beside it; nothing where the spectrum does not
  // reach.
  [[nodiscard]] std::optional<double> power_about(double hz, double tone_hz) const noexcept {
    const double half_hz = std::max(3.0 * spectrum.bin_hz(), 0.01 * hz);
    if (hz + 3.0 * half_hz > static_cast<double>(spectrum.power().size() - 1) * spectrum.bin_hz() ||
        half_hz > 0.25 * tone_hz)
      return std::nullopt;
    const auto sum_over = [&](double from_hz, double to_hz) {
      double sum = 0.0;
      for (auto k = static_cast<std::size_t>(from_hz / spectrum.bin_hz());
           k <= static_cast<std::size_t>(to_hz / spectrum.bin_hz()); ++k)
        sum += static_cast<double>(spectrum.power()[k]);
      return sum;
    };
    const double noise =
        (sum_over(hz - 3.0 * half_hz, hz - half_hz) + sum_over(hz + half_hz, hz + 3.0 * half_hz)) / 2.0;
    const double here = sum_over(hz - half_hz, hz + half_hz);
    return here > 2.0 * noise ? here - noise : 0.0;
  }

  // Limited ahead of the converter: a strong third harmonic although the samples stay below full scale.
  [[nodiscard]] bool limited_before() const noexcept {
    const auto tone_hz = meter.tone_hz();
    if (!tone_hz || !spectrum.ready()) return false;
    const auto tone = power_about(*tone_hz, *tone_hz);
    const auto third = power_about(3.0 * *tone_hz, *tone_hz);
    if (!tone || !third || !(*tone > 0.0)) return false;
    return *third > *tone * std::pow(10.0, kThirdOfLimitedDb / 10.0);
  }

  // Whether what lies around the tone is the mains: power on the harmonics of 50 or 60 Hz, and little between them.
  [[nodiscard]] bool humming() noexcept {
    return spectrum.ready() &&
           has_comb(spectrum.power(), spectrum.bin_hz(), meter.nominal_hz(), meter.tone_hz(), comb_scratch);
  }

  void add_to_trail(const Reading& reading) noexcept {
    TrailPoint point{reading.time_s, Status::no_tone, 0.0, 0.0};
    if (reading.speed_error_percent && reading.u95_percent)
      point = {reading.time_s, reading.status, *reading.speed_error_percent, *reading.u95_percent};
    trail[trail_next] = point;
    trail_next = (trail_next + 1) % trail.size();
    trail_size = std::min(trail_size + 1, trail.size());
  }

  // Reading the record uses the meter's scratch memory, not its state.
  mutable ToneMeter meter;
  AveragedSpectrum spectrum;
  mutable SpectrumPicture picture, zoom_picture;
  Reading dial, calm;
  FlutterReading flutter;
  std::vector<TrailPoint> trail;
  std::size_t trail_next = 0, trail_size = 0;
  std::uint64_t limited_seen = 0, hum_seen = 0;  // half-second looks that found the tone limited, or hum around it
  std::vector<float> comb_scratch;
  std::array<float, kBlock> block{};
};

// Hum that withholds or widens the reading is named for what it is, before the noise that it looks like.
void blame_hum(Reading& reading) noexcept {
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

// What holds the level or moves it, and is not the tape.
bool spoils_level(const Reading& reading) noexcept {
  return reading.reasons.contains(Reason::voice_processing) || reading.reasons.contains(Reason::clipping) ||
         reading.reasons.contains(Reason::capture_gap) || reading.reasons.contains(Reason::room_noise) ||
         reading.reasons.contains(Reason::competing_tone);
}

void add_level(const LevelReading& level, FlutterEvidence& evidence) noexcept {
  evidence.level_s = level.counted_s;
  if (level.rms) evidence.level_rms_percent = level.rms->percent;
  if (!level.dropouts) return;
  evidence.dropouts_s = level.dropouts->watched_s;
  evidence.dropouts_per_minute = level.dropouts->per_minute;
  evidence.deepest_dropout_db = level.dropouts->deepest_db;
}

// What moves the phase as speed does, and is not the tape: figures of it would be figures of the room or the device.
bool spoils_flutter(const Reading& reading) noexcept {
  if (reading.status == Status::no_tone) return true;
  if (reading.status == Status::measured || reading.reasons.empty()) return false;
  switch (*reading.reasons.begin()) {
    case Reason::no_tone:
    case Reason::too_quiet:
    case Reason::room_noise:
    case Reason::competing_tone:
    case Reason::mains_hum:
    case Reason::voice_processing:
    case Reason::narrow_capture: return true;
    case Reason::clipping:
    case Reason::capture_gap:
    case Reason::tape_dropout:
    case Reason::wrong_tone:
    case Reason::channels_differ:
    case Reason::too_short:
    case Reason::not_steady: return false;
  }
  return true;
}

}  // namespace

struct ToneSession::Impl {
  explicit Impl(const Config& c) : config(c) {
    for (int i = 0; i < c.channels; ++i) channels.emplace_back(c);
    reset();
  }

  void reset() noexcept {
    for (auto& channel : channels) channel.reset();
    frames = fed = 0;
    fill = 0;
    dials = heard = 0;
    channels_differ = false;
    discard = static_cast<std::uint64_t>(config.discard_s * config.sample_rate_hz);
    schedule_dial();
  }

  void schedule_dial() noexcept {
    next_dial = static_cast<std::uint64_t>(
        std::llround(static_cast<double>(dials + 1) * config.sample_rate_hz / kDialsPerSecond));
  }

  // Blocks begin and end at the same samples however process() is called: readings depend on the samples alone.
  [[nodiscard]] std::size_t block_size() const noexcept {
    return static_cast<std::size_t>(std::min<std::uint64_t>(kBlock, next_dial - fed));
  }

  void collect(std::span<const float> interleaved, std::size_t count) noexcept {
    const std::size_t stride = channels.size();
    for (std::size_t c = 0; c < stride; ++c)
      for (std::size_t i = 0; i < count; ++i) channels[c].block[fill + i] = interleaved[i * stride + c];
    fill += count;
    frames += count;
    if (fill == block_size()) feed();
  }

  // Sound in both channels, and never a sample's difference.
  void compare_channels() noexcept {
    if (channels.size() != 2 || channels_differ) return;
    const auto left = std::span(channels[0].block).first(fill);
    const auto right = std::span(channels[1].block).first(fill);
    channels_differ = !std::equal(left.begin(), left.end(), right.begin());
    if (std::any_of(left.begin(), left.end(), [](float x) { return x != 0.0F; })) heard += fill;
  }

  void feed() noexcept {
    for (Channel& channel : channels) {
      const std::span<float> block(channel.block.data(), fill);
      channel.meter.process(block);
      channel.spectrum.process(block);
    }
    compare_channels();  // by now what was no number is 0
    fed += fill;
    fill = 0;
    if (fed == next_dial) make_readings();
  }

  void make_readings() noexcept {
    ++dials;
    schedule_dial();
    for (auto& channel : channels) {
      channel.dial = on_the_input_clock(channel.meter.read_dial());
      if (dials % kDialsPerCalm == 0 && channel.limited_before()) ++channel.limited_seen;
      if (dials % kDialsPerCalm == 0 && channel.humming()) ++channel.hum_seen;
      channel.add_to_trail(channel.dial);
      if (dials % kDialsPerCalm != 0) continue;
      channel.calm = on_the_input_clock(channel.meter.read_calm());
      channel.flutter = channel.meter.read_live_flutter();
    }
  }

  // The meters count from the first sample that is measured; readings count the discarded ones too.
  [[nodiscard]] double discarded_s() const noexcept {
    return static_cast<double>(frames - fill - fed) / config.sample_rate_hz;
  }
  [[nodiscard]] Reading on_the_input_clock(Reading reading) const noexcept {
    reading.time_s += discarded_s();
    return reading;
  }

  Config config;
  std::deque<Channel> channels;  // which never moves one: that would be a quarter of its code
  std::uint64_t frames = 0;      // taken in, the discarded ones too
  std::uint64_t fed = 0;         // measured
  std::size_t fill = 0;          // of the channels' blocks, not fed yet
  std::uint64_t discard = 0;
  std::uint64_t dials = 0, next_dial = 0;
  bool channels_differ = false;
  std::uint64_t heard = 0;  // frames of blocks that were not silent
};

std::optional<std::string_view> ToneSession::fault_in(const Config& config) noexcept {
  if (!(config.sample_rate_hz >= kLowestRateHz * (1.0 - kClockShare) &&
        config.sample_rate_hz <= kHighestRateHz * (1.0 + kClockShare)))
    return tr("the sample rate must lie between 8000 and 192000 Hz: record or convert at 44100 or 48000 Hz");
  if (config.channels != 1 && config.channels != 2)
    return tr("one or two channels can be measured: mix down or pick two");
  if (!(config.nominal_hz >= kLowestNominalHz && config.nominal_hz <= kHighestNominalHz))
    return tr("the tone's nominal frequency must lie between 100 and 10000 Hz");
  if (config.nominal_hz > 0.4 * config.sample_rate_hz)
    return tr("the tone lies too high for this sample rate: record at 44100 or 48000 Hz");
  if (!(config.discard_s >= 0.0 && config.discard_s <= 60.0)) return tr("at most 60 s can be discarded at the start");
  if (!(config.dial_window_s >= 0.1 && config.dial_window_s <= 2.0))
    return tr("the dial's window must lie between 0.1 and 2 s");
  if (!(config.calm_window_s >= 1.0 && config.calm_window_s <= 30.0))
    return tr("the calm window must lie between 1 and 30 s");
  return std::nullopt;
}

ToneSession::ToneSession(const Config& config) : impl_(std::make_unique<Impl>(config)) {
  assert(!fault_in(config) && "ask fault_in() before making a session");
}
ToneSession::~ToneSession() = default;
ToneSession::ToneSession(ToneSession&&) noexcept = default;
ToneSession& ToneSession::operator=(ToneSession&&) noexcept = default;

void ToneSession::reset() noexcept { impl_->reset(); }
const ToneSession::Config& ToneSession::config() const noexcept { return impl_->config; }
double ToneSession::time_s() const noexcept {
  return static_cast<double>(impl_->frames) / impl_->config.sample_rate_hz;
}
std::uint64_t ToneSession::dial_count() const noexcept { return impl_->dials; }

void ToneSession::process(std::span<const float> interleaved) noexcept {
  Impl& s = *impl_;
  const std::size_t stride = s.channels.size();
  assert(interleaved.size() % stride == 0 && "whole frames only");
  std::size_t left = interleaved.size() / stride;
  const std::size_t skip = static_cast<std::size_t>(std::min<std::uint64_t>(left, s.discard));
  s.discard -= skip;
  s.frames += skip;
  left -= skip;
  interleaved = interleaved.subspan(skip * stride);
  while (left > 0) {
    const std::size_t count = std::min(left, s.block_size() - s.fill);
    s.collect(interleaved, count);
    interleaved = interleaved.subspan(count * stride);
    left -= count;
  }
}

const Reading& ToneSession::dial(int channel) const noexcept {
  return impl_->channels[static_cast<std::size_t>(channel)].dial;
}
const Reading& ToneSession::calm(int channel) const noexcept {
  return impl_->channels[static_cast<std::size_t>(channel)].calm;
}

Reading ToneSession::whole(int channel) const noexcept {
  const Channel& c = impl_->channels[static_cast<std::size_t>(channel)];
  Reading reading = impl_->on_the_input_clock(c.meter.read_whole());
  if (4 * kDialsPerCalm * c.limited_seen > impl_->dials) reading.reasons.add(Reason::clipping);
  if (4 * kDialsPerCalm * c.hum_seen > impl_->dials) blame_hum(reading);
  if (channels_agree() == false) reading.reasons.add(Reason::channels_differ);
  return reading;
}

const FlutterReading& ToneSession::flutter(int channel) const noexcept {
  return impl_->channels[static_cast<std::size_t>(channel)].flutter;
}

FlutterReading ToneSession::whole_flutter(int channel) const noexcept {
  if (spoils_flutter(whole(channel))) return {};
  return impl_->channels[static_cast<std::size_t>(channel)].meter.read_whole_flutter();
}

std::optional<FlutterSpectrumView> ToneSession::analyse_flutter(int channel) noexcept {
  return impl_->channels[static_cast<std::size_t>(channel)].meter.analyse_flutter();
}

LevelReading ToneSession::level(int channel) const noexcept {
  return impl_->channels[static_cast<std::size_t>(channel)].meter.flutter().live_level();
}

LevelReading ToneSession::whole_level(int channel) const noexcept {
  return impl_->channels[static_cast<std::size_t>(channel)].meter.flutter().whole_level();
}

FlutterEvidence ToneSession::gather_evidence(int channel, Stretch stretch,
                                             const std::optional<FlutterSpectrumView>& spectrum) const noexcept {
  const bool all = stretch == Stretch::whole;
  FlutterEvidence evidence;
  evidence.reading = all ? whole(channel) : calm(channel);
  if (spoils_flutter(evidence.reading)) return evidence;
  const FlutterWatch& watch = impl_->channels[static_cast<std::size_t>(channel)].meter.flutter();
  evidence.figures = all ? watch.whole() : flutter(channel);
  const SettledDrift settled = watch.settled_drift();
  evidence.figures.drift = settled.drift;
  if (settled.drift) evidence.drift_s = settled.drift->span_s;
  evidence.since_jump_s = settled.since_jump_s;
  if (spectrum) {
    evidence.peaks = spectrum->peaks;
    evidence.span_s = spectrum->span_s;
    evidence.resolution_hz = spectrum->resolution_hz;
  }
  if (!spoils_level(evidence.reading)) add_level(all ? watch.whole_level() : watch.live_level(), evidence);
  return evidence;
}

std::size_t ToneSession::raw_trace(int channel, std::span<TraceRange> out) const noexcept {
  const Channel& c = impl_->channels[static_cast<std::size_t>(channel)];
  const std::size_t count = c.meter.flutter().raw_trace(out);
  for (TraceRange& range : out.first(count)) range.time_s += impl_->discarded_s();
  return count;
}

std::size_t ToneSession::weighted_trace(int channel, std::span<TraceRange> out) const noexcept {
  const std::size_t count = impl_->channels[static_cast<std::size_t>(channel)].meter.flutter().weighted_trace(out);
  for (TraceRange& range : out.first(count)) range.time_s += impl_->discarded_s();
  return count;
}

std::optional<bool> ToneSession::channels_agree() const noexcept {
  if (impl_->channels.size() != 2) return std::nullopt;
  const Reading left = impl_->channels[0].meter.read_whole();
  const Reading right = impl_->channels[1].meter.read_whole();
  if (left.status != Status::measured || right.status != Status::measured) return std::nullopt;
  return speeds_agree(*left.speed_error_percent, *left.u95_percent, *right.speed_error_percent, *right.u95_percent);
}

std::optional<bool> ToneSession::channels_identical() const noexcept {
  const double heard_s = static_cast<double>(impl_->heard) / impl_->config.sample_rate_hz;
  if (impl_->channels.size() != 2) return std::nullopt;
  if (impl_->channels_differ) return false;
  if (heard_s < kEnoughToCompareS) return std::nullopt;
  return true;
}

std::size_t ToneSession::trail(int channel, std::span<TrailPoint> out) const noexcept {
  const Channel& c = impl_->channels[static_cast<std::size_t>(channel)];
  const std::size_t count = std::min(out.size(), c.trail_size);
  for (std::size_t i = 0; i < count; ++i)
    out[i] = c.trail[(c.trail_next + c.trail.size() - count + i) % c.trail.size()];
  return count;
}

SpectrumView ToneSession::spectrum(int channel) const noexcept {
  const Channel& c = impl_->channels[static_cast<std::size_t>(channel)];
  if (!c.spectrum.ready()) return {};
  return c.picture.draw(c.viewed(), 0.0, c.spectrum.bin_hz(), c.meter.tone_hz());
}

SpectrumView ToneSession::zoom(int channel) const noexcept {
  const Channel& c = impl_->channels[static_cast<std::size_t>(channel)];
  const ZoomSpectrum& zoom = c.meter.zoom();
  const auto tone_hz = c.meter.tone_hz();
  if (!zoom.ready() || !tone_hz) return {};
  return c.zoom_picture.draw_around(zoom.power(), zoom.first_hz(), zoom.bin_hz(), *tone_hz, c.meter.interferers());
}

std::optional<double> ToneSession::input_peak_dbfs(int channel) const noexcept {
  return impl_->channels[static_cast<std::size_t>(channel)].meter.faults().peak_dbfs();
}

}  // namespace four76
