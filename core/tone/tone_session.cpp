#include "core/tone/tone_session.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <deque>

#include "core/phrase.hpp"
#include "core/tone/nominal_tones.hpp"
#include "core/tone/session_channel.hpp"

namespace four76 {

namespace {

constexpr double kLowestRateHz = 8000.0;
constexpr double kHighestRateHz = 192000.0;
constexpr double kClockShare = 0.001;  // a corrected clock: up to 1000 ppm beside the rate that it claims
constexpr double kDialsPerSecond = 20.0;
constexpr double kEnoughToCompareS = 0.5;
constexpr std::size_t kBlock = 128;  // what the meters get at a time, whatever process() gets
static_assert(kBlock <= ToneMeter::kLargestBlock);

ToneMeter::Config meter_config(const ToneSession::Config& config) {
  return {config.sample_rate_hz, config.nominal_hz,    config.tone_is_sure, config.near_hz,
          config.live_capture,   config.dial_window_s, config.calm_window_s};
}

}  // namespace

struct ToneSession::Impl {
  explicit Impl(const Config& c) : config(c) {
    for (int i = 0; i < c.channels; ++i) channels.emplace_back(meter_config(c));
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
      for (std::size_t i = 0; i < count; ++i) blocks[c][fill + i] = interleaved[i * stride + c];
    fill += count;
    frames += count;
    if (fill == block_size()) feed();
  }

  // Sound in both channels, and never a sample's difference.
  void compare_channels() noexcept {
    if (channels.size() != 2 || channels_differ) return;
    const auto left = std::span(blocks[0]).first(fill);
    const auto right = std::span(blocks[1]).first(fill);
    channels_differ = !std::equal(left.begin(), left.end(), right.begin());
    if (std::any_of(left.begin(), left.end(), [](float x) { return x != 0.0F; })) heard += fill;
  }

  void feed() noexcept {
    for (std::size_t c = 0; c < channels.size(); ++c) channels[c].process(std::span(blocks[c]).first(fill));
    compare_channels();  // by now what was no number is 0
    fed += fill;
    fill = 0;
    if (fed == next_dial) make_readings();
  }

  void make_readings() noexcept {
    ++dials;
    schedule_dial();
    for (SessionChannel& channel : channels) channel.make_readings(dials, discarded_s());
  }

  // The meters count from the first sample that is measured; readings count the discarded ones too.
  [[nodiscard]] double discarded_s() const noexcept {
    return static_cast<double>(frames - fill - fed) / config.sample_rate_hz;
  }
  [[nodiscard]] SessionChannel& at(int channel) noexcept { return channels[static_cast<std::size_t>(channel)]; }

  Config config;
  std::deque<SessionChannel> channels;                // which never moves one: that would be a quarter of its code
  std::array<std::array<float, kBlock>, 2> blocks{};  // of each channel, to be measured
  std::uint64_t frames = 0;                           // taken in, the discarded ones too
  std::uint64_t fed = 0;                              // measured
  std::size_t fill = 0;                               // of the blocks
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
  if (config.near_hz && !(std::abs(*config.near_hz / config.nominal_hz - 1.0) <= kSearchRange))
    return tr("the tape's tone must lie within 25 % of its nominal frequency");
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

const Reading& ToneSession::dial(int channel) const noexcept { return impl_->at(channel).dial(); }
const Reading& ToneSession::calm(int channel) const noexcept { return impl_->at(channel).calm(); }

Reading ToneSession::whole(int channel) const noexcept {
  Reading reading = impl_->at(channel).whole(impl_->dials, impl_->discarded_s());
  if (channels_agree() == false) reading.reasons.add(Reason::channels_differ);
  return reading;
}

const FlutterReading& ToneSession::flutter(int channel) const noexcept { return impl_->at(channel).flutter(); }

FlutterReading ToneSession::whole_flutter(int channel) const noexcept {
  if (spoils_flutter(whole(channel))) return {};
  return impl_->at(channel).meter().read_whole_flutter();
}

std::optional<FlutterSpectrumView> ToneSession::analyse_flutter(int channel) noexcept {
  return impl_->at(channel).meter().analyse_flutter();
}

LevelReading ToneSession::level(int channel) const noexcept {
  return impl_->at(channel).meter().flutter().live_level();
}

LevelReading ToneSession::whole_level(int channel) const noexcept {
  return impl_->at(channel).meter().flutter().whole_level();
}

FlutterEvidence ToneSession::gather_evidence(int channel, Stretch stretch,
                                             const std::optional<FlutterSpectrumView>& spectrum) const noexcept {
  const bool all = stretch == Stretch::whole;
  FlutterEvidence evidence;
  evidence.reading = all ? whole(channel) : calm(channel);
  if (spoils_flutter(evidence.reading)) return evidence;
  const FlutterWatch& watch = impl_->at(channel).meter().flutter();
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
  if (!spoils_level(evidence.reading)) evidence.add_level(all ? watch.whole_level() : watch.live_level());
  return evidence;
}

std::size_t ToneSession::raw_trace(int channel, std::span<TraceRange> out) const noexcept {
  const std::size_t count = impl_->at(channel).meter().flutter().raw_trace(out);
  for (TraceRange& range : out.first(count)) range.time_s += impl_->discarded_s();
  return count;
}

std::size_t ToneSession::weighted_trace(int channel, std::span<TraceRange> out) const noexcept {
  const std::size_t count = impl_->at(channel).meter().flutter().weighted_trace(out);
  for (TraceRange& range : out.first(count)) range.time_s += impl_->discarded_s();
  return count;
}

std::optional<bool> ToneSession::channels_agree() const noexcept {
  if (impl_->channels.size() != 2) return std::nullopt;
  const Reading left = impl_->at(0).meter().read_whole();
  const Reading right = impl_->at(1).meter().read_whole();
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
  return impl_->at(channel).trail(out);
}

SpectrumView ToneSession::spectrum(int channel) const noexcept { return impl_->at(channel).spectrum(); }
SpectrumView ToneSession::zoom(int channel) const noexcept { return impl_->at(channel).zoom(); }

std::optional<double> ToneSession::input_peak_dbfs(int channel) const noexcept {
  return impl_->at(channel).meter().faults().peak_dbfs();
}

}  // namespace four76
