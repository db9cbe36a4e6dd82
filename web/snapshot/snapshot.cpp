// Snapshot's flat form: "F76S", then the fields in order. Same machine, same build on both ends (page and Worker), so
// numbers travel in the machine's own byte order.
#include "web/snapshot/snapshot.hpp"

#include <utility>

#include "web/snapshot/flat_bytes.hpp"
#include "web/snapshot/parts.hpp"

namespace four76 {
namespace {

using flat::Reader;
using flat::Writer;

constexpr std::uint32_t kMagic = 0x53363746;  // "F76S"
constexpr std::uint32_t kVersion = 5;
constexpr std::size_t kTrailCapacity = 1024;  // 40 s of 20 readings a second, and room

void put_reading(Writer& out, const Reading& reading) {
  out.put(static_cast<std::uint8_t>(reading.status));
  out.put(static_cast<std::uint8_t>(reading.reasons.size()));
  for (const Reason reason : reading.reasons) out.put(static_cast<std::uint8_t>(reason));
  out.put(reading.frequency_hz);
  out.put(reading.speed_error_percent);
  out.put(reading.u95_percent);
  out.put(reading.noise_u95_percent);
  out.put(reading.wow_u95_percent);
  out.put(reading.level_dbfs);
  out.put(reading.carrier_to_noise_dbhz);
  out.put(reading.other_tone_hz);
  out.put(reading.other_tone_error_percent);
  const auto candidate = [&](std::size_t i) {
    return reading.candidates_hz ? std::optional((*reading.candidates_hz)[i]) : std::nullopt;
  };
  out.put(candidate(0));
  out.put(candidate(1));
  out.put(reading.taken_out_hz);
  out.put(reading.time_s);
  out.put(reading.trusted_s);
}

Reading get_reading(Reader& in) {
  Reading reading;
  reading.status = in.get_enum(Status::measured);
  const auto reasons = in.get<std::uint8_t>();
  for (int i = 0; i < reasons; ++i) reading.reasons.add(in.get_enum(Reason::not_steady));
  reading.frequency_hz = in.get_optional();
  reading.speed_error_percent = in.get_optional();
  reading.u95_percent = in.get_optional();
  reading.noise_u95_percent = in.get_optional();
  reading.wow_u95_percent = in.get_optional();
  reading.level_dbfs = in.get_optional();
  reading.carrier_to_noise_dbhz = in.get_optional();
  reading.other_tone_hz = in.get_optional();
  reading.other_tone_error_percent = in.get_optional();
  const auto louder = in.get_optional(), softer = in.get_optional();
  if (louder && softer) reading.candidates_hz = {*louder, *softer};
  reading.taken_out_hz = in.get_optional();
  reading.time_s = in.get<double>();
  reading.trusted_s = in.get<double>();
  return reading;
}

void put_spectrum(Writer& out, const SpectrumSnapshot& spectrum) {
  out.put(spectrum.first_hz);
  out.put(spectrum.bin_hz);
  out.put(static_cast<std::uint32_t>(spectrum.level_dbfs.size()));
  for (const float level : spectrum.level_dbfs) out.put(level);
  out.put(static_cast<std::uint32_t>(spectrum.peaks.size()));
  for (const SpectrumPeak& peak : spectrum.peaks) {
    out.put(peak.frequency_hz);
    out.put(peak.level_dbfs);
    out.put(static_cast<std::uint8_t>(peak.kind));
    out.put(peak.mains_hz);
  }
}

SpectrumSnapshot get_spectrum(Reader& in) {
  SpectrumSnapshot spectrum;
  spectrum.first_hz = in.get<double>();
  spectrum.bin_hz = in.get<double>();
  spectrum.level_dbfs.resize(in.get_count(sizeof(float)));
  for (float& level : spectrum.level_dbfs) level = in.get<float>();
  spectrum.peaks.resize(in.get_count(3 * sizeof(double) + 1));
  for (SpectrumPeak& peak : spectrum.peaks) {
    peak.frequency_hz = in.get<double>();
    peak.level_dbfs = in.get<double>();
    peak.kind = in.get_enum(SpectrumPeak::Kind::other);
    peak.mains_hz = in.get<double>();
  }
  return spectrum;
}

void put_channel(Writer& out, const ChannelSnapshot& channel) {
  put_reading(out, channel.dial);
  put_reading(out, channel.calm);
  put_reading(out, channel.whole);
  out.put(static_cast<std::uint32_t>(channel.trail.size()));
  for (const TrailPoint& point : channel.trail) {
    out.put(point.time_s);
    out.put(static_cast<std::uint8_t>(point.status));
    out.put(point.speed_error_percent);
    out.put(point.u95_percent);
  }
  put_spectrum(out, channel.spectrum);
  put_spectrum(out, channel.zoom);
  out.put(channel.input_peak_dbfs);
  flat::put_flutter(out, channel);
}

ChannelSnapshot get_channel(Reader& in) {
  ChannelSnapshot channel;
  channel.dial = get_reading(in);
  channel.calm = get_reading(in);
  channel.whole = get_reading(in);
  channel.trail.resize(in.get_count(3 * sizeof(double) + 1));
  for (TrailPoint& point : channel.trail) {
    point.time_s = in.get<double>();
    point.status = in.get_enum(Status::measured);
    point.speed_error_percent = in.get<double>();
    point.u95_percent = in.get<double>();
  }
  channel.spectrum = get_spectrum(in);
  channel.zoom = get_spectrum(in);
  channel.input_peak_dbfs = in.get_optional();
  flat::get_flutter(in, channel);
  return channel;
}

void copy_spectrum(const SpectrumView& view, SpectrumSnapshot& into) {
  into.level_dbfs.assign(view.level_dbfs.begin(), view.level_dbfs.end());
  into.peaks.assign(view.peaks.begin(), view.peaks.end());
  into.first_hz = view.first_hz;
  into.bin_hz = view.bin_hz;
}

}  // namespace

std::string_view channel_label(const Snapshot& snapshot, int channel) noexcept {
  if (snapshot.channels < 2) return "mono";
  return channel == 1 ? "right" : "left";
}

void take_snapshot(const ToneSession& session, bool with_whole, const FlutterPictures& pictures, Snapshot& into) {
  into.time_s = session.time_s();
  into.sample_rate_hz = session.config().sample_rate_hz;
  into.nominal_hz = session.config().nominal_hz;
  into.channels = session.config().channels;
  into.dial_count = session.dial_count();
  into.channels_agree = with_whole ? session.channels_agree() : std::nullopt;
  into.channels_identical = session.channels_identical();
  into.cut_short = false;
  for (int i = 0; i < into.channels; ++i) {
    ChannelSnapshot& channel = into.channel[static_cast<std::size_t>(i)];
    channel.dial = session.dial(i);
    channel.calm = session.calm(i);
    if (with_whole) channel.whole = session.whole(i);
    channel.flutter = session.flutter(i);
    if (with_whole) channel.whole_flutter = session.whole_flutter(i);
    channel.flutter_picture = pictures.channel[static_cast<std::size_t>(i)];
    channel.evidence = pictures.evidence[static_cast<std::size_t>(i)];
    channel.raw.resize(RangeTrace::kBins);
    channel.raw.resize(session.raw_trace(i, channel.raw));
    channel.weighted.resize(RangeTrace::kBins);
    channel.weighted.resize(session.weighted_trace(i, channel.weighted));
    channel.trail.resize(kTrailCapacity);
    channel.trail.resize(session.trail(i, channel.trail));
    copy_spectrum(session.spectrum(i), channel.spectrum);
    copy_spectrum(session.zoom(i), channel.zoom);
    channel.input_peak_dbfs = session.input_peak_dbfs(i);
  }
}

std::vector<std::uint8_t> encode(const Snapshot& snapshot) {
  Writer out = flat::begun();
  out.put(snapshot.time_s);
  out.put(snapshot.sample_rate_hz);
  out.put(snapshot.nominal_hz);
  out.put(static_cast<std::uint8_t>(snapshot.channels));
  out.put(snapshot.dial_count);
  out.put(snapshot.channels_agree);
  out.put(snapshot.channels_identical);
  out.put<std::uint8_t>(snapshot.cut_short ? 1 : 0);
  for (int i = 0; i < snapshot.channels; ++i) put_channel(out, snapshot.channel[static_cast<std::size_t>(i)]);
  return flat::sealed(std::move(out), kMagic, kVersion);
}

std::optional<Snapshot> decode(std::span<const std::uint8_t> bytes) {
  auto opened = flat::opened(bytes, kMagic, kVersion);
  if (!opened) return std::nullopt;
  Reader& in = *opened;
  Snapshot snapshot;
  snapshot.time_s = in.get<double>();
  snapshot.sample_rate_hz = in.get<double>();
  snapshot.nominal_hz = in.get<double>();
  snapshot.channels = in.get<std::uint8_t>();
  snapshot.dial_count = in.get<std::uint64_t>();
  snapshot.channels_agree = in.get_truth();
  snapshot.channels_identical = in.get_truth();
  const auto cut_short = in.get<std::uint8_t>();
  if (cut_short > 1 || snapshot.channels > 2) return std::nullopt;
  snapshot.cut_short = cut_short == 1;
  for (int i = 0; i < snapshot.channels; ++i) snapshot.channel[static_cast<std::size_t>(i)] = get_channel(in);
  if (!in.complete()) return std::nullopt;
  return snapshot;
}

}  // namespace four76
