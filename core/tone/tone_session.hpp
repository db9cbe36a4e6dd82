// ToneSession: samples in, Readings out. The one door through which the command line, the page and the tests measure
// a tone on one or two channels.
//
// Feeding and reading are separate calls. process() may be called with blocks of any size; the readings depend only on
// the samples, never on how they were cut into blocks. It neither allocates nor throws, and memory stays constant
// however long the session runs.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string_view>

#include "core/flutter/flutter_evidence.hpp"
#include "core/flutter/flutter_figures.hpp"
#include "core/flutter/flutter_spectrum.hpp"
#include "core/flutter/level_flutter.hpp"
#include "core/flutter/range_trace.hpp"
#include "core/reading.hpp"
#include "core/tone/spectrum_view.hpp"
#include "core/tone/trail_point.hpp"

namespace four76 {

enum class Stretch : std::uint8_t { newest, whole };

class ToneSession {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;               // 8000 to 192000
    int channels = 1;                              // 1 or 2, interleaved
    double nominal_hz = 3000.0;                    // 100 to 10000, and below 0.4 of the sample rate
    bool tone_is_sure = false;                     // the tape carries the nominal: no other standard tone is suspected
    std::optional<double> near_hz = std::nullopt;  // of two steady tones the tape's is the one nearer to this
    double discard_s = 0.0;                        // a live capture drops its first second
    bool live_capture = false;    // a microphone: a sample rate of 16 kHz or less is refused (narrow_capture)
    double dial_window_s = 0.36;  // of the live dial
    double calm_window_s = 10.0;  // of the calm reading
  };
  // What is wrong with a configuration in words that say what to do; nothing when it can be used.
  static std::optional<std::string_view> fault_in(const Config& config) noexcept;

  // The configuration must have no fault.
  explicit ToneSession(const Config& config);
  ~ToneSession();
  ToneSession(ToneSession&&) noexcept;
  ToneSession& operator=(ToneSession&&) noexcept;

  void reset() noexcept;

  // Interleaved frames, nominally -1 to 1. A sample that is not finite counts as lost. The size is a whole number of
  // frames.
  void process(std::span<const float> interleaved) noexcept;

  [[nodiscard]] const Config& config() const noexcept;
  [[nodiscard]] double time_s() const noexcept;  // of input so far

  // The dial makes a new reading 20 times a second of input; the count grows by one with each.
  [[nodiscard]] std::uint64_t dial_count() const noexcept;
  [[nodiscard]] const Reading& dial(int channel) const noexcept;  // answers a turn of the screw within half a second
  [[nodiscard]] const Reading& calm(int channel) const noexcept;  // the last 10 s (or what there is), twice a second
  // Everything since the start that could be trusted; computed at the call (about a millisecond).
  [[nodiscard]] Reading whole(int channel) const noexcept;
  // Whether both channels' whole readings agree within their joint uncertainty and 0.05 %; nothing with one channel
  // or where one of them is not measured.
  [[nodiscard]] std::optional<bool> channels_agree() const noexcept;
  // Whether both channels carried the very same samples: a mono source, whose channels prove nothing about each other.
  // Nothing with one channel, or before half a second of sound.
  [[nodiscard]] std::optional<bool> channels_identical() const noexcept;

  // Wow and flutter over the last 10 s, twice a second; empty while no tone is followed, and below about 37 dB-Hz.
  [[nodiscard]] const FlutterReading& flutter(int channel) const noexcept;
  // Over everything since the start. Empty where the whole reading does not let it be told: no tone, or something
  // beside the tape that moves the phase as well.
  [[nodiscard]] FlutterReading whole_flutter(int channel) const noexcept;
  // How strong the deviation is at each rate, over the last 60 s or what there is, with its peaks. Takes some
  // milliseconds: ask once a second. Nothing before 4 s. Valid until the next call.
  [[nodiscard]] std::optional<FlutterSpectrumView> analyse_flutter(int channel) noexcept;
  // How the level flutters and how often it drops out: over the last 10 s and 60 s, and over everything.
  [[nodiscard]] LevelReading level(int channel) const noexcept;
  [[nodiscard]] LevelReading whole_level(int channel) const noexcept;
  // What causes and verdicts rest on, but for the tolerance and what is known of the machine, which the caller adds.
  // The spectrum is the newest that analyse_flutter() gave, and the evidence points into it. Drift is that since the
  // speed last jumped.
  [[nodiscard]] FlutterEvidence gather_evidence(int channel, Stretch stretch,
                                                const std::optional<FlutterSpectrumView>& spectrum) const noexcept;
  // The deviation itself, as the range it runs through in each 50 ms of the last 40 s, oldest first; in percent off the
  // nominal, wow and all. Returns how many.
  std::size_t raw_trace(int channel, std::span<TraceRange> out) const noexcept;
  // The same of the weighted deviation, about 0.
  std::size_t weighted_trace(int channel, std::span<TraceRange> out) const noexcept;

  // The dial's readings of the last 40 s, oldest first. Copies at most `out.size()` newest points, returns how many.
  std::size_t trail(int channel, std::span<TrailPoint> out) const noexcept;

  // 0 to 10 kHz or half the rate, averaged over about a second; +-300 Hz around the tone, over about two. Valid until
  // the next process() or reset().
  [[nodiscard]] SpectrumView spectrum(int channel) const noexcept;
  [[nodiscard]] SpectrumView zoom(int channel) const noexcept;
  // Peak of the input's magnitude over the last half second, dBFS of full scale; nothing before any sample.
  [[nodiscard]] std::optional<double> input_peak_dbfs(int channel) const noexcept;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace four76
