// The names' part of words: tones, tolerances, units, channels, peaks, and how good a level or a noise is.
#include <array>
#include <cmath>

#include "web/words.hpp"

namespace four76::words {

std::span<const std::string_view> first_steps() noexcept {
  static constexpr std::array<std::string_view, 4> kSteps = {
      "Put a speed tape into the machine: a steady tone of 3000 or 3150 Hz is on it.",
      "Play it, and lean the phone on the speaker, or run a cable from the headphone socket.",
      "Tap Listen. Read how fast or slow the machine runs, and which way to turn.",
      "No tape at hand? The demo shows the whole job."};
  return kSteps;
}
std::string measure_again(double hz) { return "Open the file again to measure it against " + hertz(hz) + "."; }
std::string file_lost() { return "The file's result could not be read."; }
std::string_view ask_tone_label() noexcept { return "Tone on the tape"; }
std::string_view ask_tape_tolerance_label() noexcept { return "How far the tape's own tone may be off"; }
std::string_view ask_tolerance_label() noexcept { return "How far off is still good"; }

std::string tone_name(double hz) { return hertz(hz); }

std::string tolerance_name(double tolerance) {
  std::string_view source = "own";
  for (const Tolerance& each : kTolerances)
    if (each.percent == tolerance) source = each.source;
  return percent(tolerance) + ", " + std::string(source);
}

std::string tape_tolerance_name(std::optional<double> tolerance) {
  return tolerance ? percent(*tolerance) : "not stated";
}

std::string channels(const Model& model) {
  if (!model.snapshot) return "";
  const Snapshot& snapshot = *model.snapshot;
  // The same samples twice: comparing them proves nothing.
  if (snapshot.channels_identical == true) return "both carry the same signal: one source";
  if (snapshot.channels < 2) return "one only";
  const std::string shown = model.shown_channel == 1 ? "right is shown; " : "left is shown; ";
  if (!snapshot.channels_agree) return shown + "not compared yet";
  return shown + (*snapshot.channels_agree ? "both agree" : "they DIFFER");
}

std::string_view unit_name(Unit unit) noexcept {
  switch (unit) {
    case Unit::percent: return "percent";
    case Unit::cents: return "cents";
    case Unit::hertz: return "Hz";
  }
  return "";
}

std::string_view channel_name(ChannelChoice channel) noexcept {
  switch (channel) {
    case ChannelChoice::both: return "the better of both";
    case ChannelChoice::left: return "left";
    case ChannelChoice::right: return "right";
  }
  return "";
}

std::string peak_name(const SpectrumPeak& peak) {
  switch (peak.kind) {
    case SpectrumPeak::Kind::tone: return "tone";
    case SpectrumPeak::Kind::mains_harmonic: {
      if (!(peak.mains_hz > 0.0)) return "hum";
      return "hum " + hertz(peak.mains_hz) + " \u00d7 " + fixed(std::round(peak.frequency_hz / peak.mains_hz), 0);
    }
    case SpectrumPeak::Kind::competing: return "other tone";
    case SpectrumPeak::Kind::other: return "other";
  }
  return "";
}

// A tone well above the noise of ordinary inputs and well below their limit (common practice of recording levels).
std::string_view level_word(double level_dbfs) noexcept {
  if (level_dbfs > -1.0) return "too loud";
  if (level_dbfs >= -50.0) return "good";
  return level_dbfs >= -70.0 ? "quiet" : "too quiet";
}

// By what the noise does to half a second of tone: 2 sigma of the bound (Rife and Boorstyn 1974) at 3000 Hz is 0.0004 %
// at 45 dB-Hz and 0.0018 % at 32 dB-Hz; somewhat lower the phase begins to be lost.
std::string_view noise_word(double carrier_to_noise_dbhz) noexcept {
  if (carrier_to_noise_dbhz >= 45.0) return "good";
  return carrier_to_noise_dbhz >= 32.0 ? "fair" : "poor";
}

}  // namespace four76::words
