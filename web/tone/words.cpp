#include "web/tone/words.hpp"

#include <cmath>

#include "core/phrase.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {

std::vector<std::string_view> first_steps() {
  return {tr("Put a speed tape into the machine: a steady tone of 3000 or 3150 Hz is on it."),
          tr("Play it, and lean the phone on the speaker, or run a cable from the headphone socket."),
          tr("Tap Listen. Read how fast or slow the machine runs, and which way to turn."),
          tr("No tape at hand? The demo shows the whole job.")};
}
std::string measure_again(double hz) { return say("Open the file again to measure it against {0}.", hertz(hz)); }
std::string file_lost() { return say("The file's result could not be read."); }
std::string_view ask_tone_label() noexcept { return tr("Tone on the tape"); }
std::string_view ask_tape_tolerance_label() noexcept { return tr("Accuracy of the tape's tone"); }
std::string_view ask_tolerance_label() noexcept { return tr("Tolerance"); }

std::string tone_name(double hz) { return hertz(hz); }

std::string tolerance_name(double tolerance) {
  auto source = Phrase("own##tolerance");
  for (const Tolerance& each : kTolerances)
    if (each.percent == tolerance) source = each.source;
  return percent(tolerance) + ", " + say(source);
}

std::string tape_tolerance_name(std::optional<double> tolerance) {
  return tolerance ? percent(*tolerance) : say("not stated");
}

std::string channels(const Model& model) {
  if (!model.snapshot) return "";
  const Snapshot& snapshot = *model.snapshot;
  // The same samples twice: comparing them proves nothing.
  if (snapshot.channels_identical == true) return say("left and right identical: one source");
  if (snapshot.channels < 2) return say("one only##channels");
  const bool right = model.shown_channel == 1;
  if (!snapshot.channels_agree)
    return right ? say("right is shown; not compared yet") : say("left is shown; not compared yet");
  if (*snapshot.channels_agree) return right ? say("right is shown; both agree") : say("left is shown; both agree");
  return right ? say("right is shown; they DIFFER") : say("left is shown; they DIFFER");
}

std::string_view unit_name(Unit unit) noexcept {
  switch (unit) {
    case Unit::percent: return tr("percent");
    case Unit::cents: return tr("cents");
    case Unit::hertz: return "Hz";
  }
  return "";
}

std::string_view channel_name(ChannelChoice channel) noexcept {
  switch (channel) {
    case ChannelChoice::both: return tr("the better of both##channel");
    case ChannelChoice::left: return tr("left##channel");
    case ChannelChoice::right: return tr("right##channel");
  }
  return "";
}

std::string peak_name(const SpectrumPeak& peak) {
  switch (peak.kind) {
    case SpectrumPeak::Kind::tone: return say("tone##peak");
    case SpectrumPeak::Kind::mains_harmonic: {
      if (!(peak.mains_hz > 0.0)) return say("hum##peak");
      return say("hum {0}",
                 hertz(peak.mains_hz) + " \u00d7 " + fixed(std::round(peak.frequency_hz / peak.mains_hz), 0));
    }
    case SpectrumPeak::Kind::competing: return say("other tone##peak");
    case SpectrumPeak::Kind::other: return say("other##peak");
  }
  return "";
}

// A tone well above the noise of ordinary inputs and well below their limit (common practice of recording levels).
std::string_view level_word(double level_dbfs) noexcept {
  if (level_dbfs > -1.0) return tr("too loud##level");
  if (level_dbfs >= -50.0) return tr("good##level");
  return level_dbfs >= -70.0 ? tr("quiet##level") : tr("too quiet##level");
}

// By what the noise does to half a second of tone: 2 sigma of the bound (Rife and Boorstyn 1974) at 3000 Hz is 0.0004 %
// at 45 dB-Hz and 0.0018 % at 32 dB-Hz; somewhat lower the phase begins to be lost.
std::string_view noise_word(double carrier_to_noise_dbhz) noexcept {
  if (carrier_to_noise_dbhz >= 45.0) return tr("good##noise");
  return carrier_to_noise_dbhz >= 32.0 ? tr("fair##noise") : tr("poor##noise");
}

std::string_view trace_name(Trace trace) noexcept {
  switch (trace) {
    case Trace::steady: return tr("steady speed");
    case Trace::raw: return tr("steady and raw speed");
    case Trace::weighted: return tr("steady speed, weighted flutter");
  }
  return tr("steady speed");
}

}  // namespace four76::words
