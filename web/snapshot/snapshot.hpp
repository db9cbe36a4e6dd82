// Snapshot: what a ToneSession says at one moment, as plain data that views draw and a Worker can send.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "core/reading.hpp"
#include "core/tone/tone_session.hpp"
#include "web/snapshot/picture.hpp"

namespace four76 {

struct SpectrumSnapshot {
  std::vector<float> level_dbfs;
  double first_hz = 0.0;
  double bin_hz = 0.0;
  std::vector<SpectrumPeak> peaks;
};

struct ChannelSnapshot {
  Reading dial, calm, whole;
  std::vector<TrailPoint> trail;  // oldest first
  SpectrumSnapshot spectrum, zoom;
  std::optional<double> input_peak_dbfs;
  FlutterReading flutter, whole_flutter;  // of the newest 10 s; of everything
  FlutterPicture flutter_picture;
  FlutterEvidence evidence;               // without its peaks: those are the picture's
  std::vector<TraceRange> raw, weighted;  // oldest first; the weighted about 0
};

struct Snapshot {
  double heard_at_s = 0.0;  // by the device's clock, which goes on while no sound comes; 0 of a file. Not encoded
  double time_s = 0.0;
  double sample_rate_hz = 0.0;
  double nominal_hz = 0.0;
  int channels = 0;
  std::uint64_t dial_count = 0;
  std::array<ChannelSnapshot, 2> channel;
  std::optional<bool> channels_agree;
  std::optional<bool> channels_identical;  // both carry the very same samples
  bool cut_short = false;                  // of a file: its head promises more sound than is there
};

[[nodiscard]] std::string_view channel_label(const Snapshot& snapshot,
                                             int channel) noexcept;  // "mono", "left", "right"

// Reuses the vectors of `into`. `with_whole` also computes the whole readings (about a millisecond).
void take_snapshot(const ToneSession& session, bool with_whole, const FlutterPictures& pictures, Snapshot& into);

// Flat bytes for postMessage, of a snapshot with its whole readings: the evidence is told as theirs. decode refuses
// anything that encode did not make.
std::vector<std::uint8_t> encode(const Snapshot& snapshot);
std::optional<Snapshot> decode(std::span<const std::uint8_t> bytes);

}  // namespace four76
