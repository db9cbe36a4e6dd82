#include "core/cli/summary.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "core/cli/complain.hpp"
#include "core/cli/flutter_summary.hpp"
#include "core/records/safety_text.hpp"

namespace four76::cli {
namespace {

constexpr double kCentsPerPercent = 17.3;  // near the right speed; enough for choosing digits

std::string fixed(double value, int decimals) {
  std::array<char, 64> text{};
  std::snprintf(text.data(), text.size(), "%.*f", decimals, value);
  return text.data();
}
std::string signed_fixed(double value, int decimals) {
  return std::string(value < 0.0 ? "" : "+").append(fixed(value, decimals));
}

// Without the zeros that say nothing: "3000", "3000.5".
std::string trimmed(double value) {
  std::string text = fixed(value, 6);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

// Two digits of the uncertainty and no more of the number; five decimals at most, for a tenth of a millionth is beyond
// every recorder's clock.
constexpr int kMostDecimals = 5;
int decimals_for(double uncertainty) {
  if (!(uncertainty > 0.0)) return kMostDecimals;
  constexpr double kRoundsUp = 1.005;  // 0.00998 is shown as 0.010
  return std::clamp(1 - static_cast<int>(std::floor(std::log10(kRoundsUp * uncertainty))), 0, kMostDecimals);
}

// "+1.2340 ± 0.0041 %", the number as `write` puts it.
std::string with_uncertainty(std::string (*write)(double, int), double value, const std::optional<double>& u95,
                             std::string_view unit) {
  if (!u95) return (write(value, 2) + ' ').append(unit);
  const int decimals = decimals_for(*u95);
  const double smallest = std::pow(10.0, -kMostDecimals);
  const std::string width = *u95 < smallest ? "under " + fixed(smallest, decimals) : fixed(*u95, decimals);
  return (write(value, decimals) + " \u00b1 " + width + ' ').append(unit);
}

std::string_view status_words(Status status) {
  switch (status) {
    case Status::measured: return "measured";
    case Status::unreliable: return "not to be trusted";
    case Status::no_tone: return "no tone";
  }
  return "no tone";
}

std::string_view reason_words(Reason reason) {
  switch (reason) {
    case Reason::no_tone:
      return "nothing like the tone was found: check the tape and --tone, and play it into the recording";
    case Reason::too_quiet: return "the tone is too weak: record it louder, nearer, or by cable";
    case Reason::room_noise: return "noise covers the tone: record in a quieter place, nearer, or by cable";
    case Reason::competing_tone:
      return "another tone lies close by: silence what makes it and record again, or say with --near which is the "
             "tape's";
    case Reason::mains_hum:
      return "mains hum lies close to the tone: move away from transformers, use a cable, or have the ground "
             "mended by somebody licensed";
    case Reason::clipping: return "the recording is overdriven: turn its level down and record again";
    case Reason::voice_processing:
      return "the recorder changes the level by itself: turn its voice or level processing off";
    case Reason::capture_gap: return "samples were lost while recording: close other programs, then record again";
    case Reason::tape_dropout:
      return "the tone fell away for a moment: clean head and tape, or use another stretch of it";
    case Reason::narrow_capture: return "the sample rate is too low: record with 44100 Hz or more, not over a headset";
    case Reason::wrong_tone:
      return "this looks like another standard tone: read the tape's label, then give that --tone, or --sure with this "
             "one";
    case Reason::channels_differ: return "left and right do not agree: check the cable, or record each channel again";
    case Reason::too_short: return "too little of the tone: record at least ten seconds, better thirty";
    case Reason::not_steady: return "the speed was still moving: let the machine warm up, then record again";
  }
  return "";
}

// What the first uncertainty is made of.
std::string of_budget(const ChannelReading& channel, const Measurement& measurement) {
  const ErrorBudget& budget = channel.budget;
  if (!budget.sum_percent || !channel.reading.u95_percent) return "";
  const auto part = [](double percent) {
    const double least = std::pow(10.0, -kMostDecimals);
    return percent < least ? "under " + fixed(least, kMostDecimals) : fixed(percent, decimals_for(percent));
  };
  std::string text = "of that the sound alone " + part(*channel.reading.u95_percent) + " %";
  if (budget.clock_percent)
    text += ", the recorder's clock " + part(*budget.clock_percent) +
            (measurement.clock_is_checked ? " %" : " % (nobody has checked it)");
  text += budget.tape_percent ? ", the tape's own tone " + part(*budget.tape_percent) + " %"
                              : "; the tape's own error is not known and not in it";
  return summary_line("", text);
}

std::string of_doubt(const Reading& reading) {
  std::string text;
  if (reading.other_tone_hz && reading.other_tone_error_percent)
    text += summary_line("", "on a " + trimmed(*reading.other_tone_hz) + " Hz tape it would be " +
                                 signed_fixed(*reading.other_tone_error_percent, 2) + " %");
  if (reading.candidates_hz)
    text += summary_line("", "two steady tones: " + fixed((*reading.candidates_hz)[0], 1) + " Hz, the louder, and " +
                                 fixed((*reading.candidates_hz)[1], 1) + " Hz");
  if (reading.taken_out_hz)
    text += summary_line(
        "", "a steady tone at " + fixed(*reading.taken_out_hz, 1) + " Hz is not the tape's: it was taken out");
  return text;
}

std::string of_channel(const ChannelReading& channel, const Measurement& measurement) {
  const Reading& reading = channel.reading;
  // The first uncertainty that a person reads holds everything that is known.
  const std::optional<double> in_all = channel.budget.sum_percent;
  std::string text = std::string(channel.channel) + ": " + std::string(status_words(reading.status)) + '\n';
  if (reading.speed_error_percent) {
    const double error = *reading.speed_error_percent;
    // What cannot be trusted is shown, for it may help to find out why, but never as if it were a reading.
    const std::string_view doubt = reading.status == Status::measured ? "" : "perhaps ";
    const bool surely = reading.status == Status::measured && std::abs(error) > in_all.value_or(0.0);
    const std::string_view way = !surely ? "" : error > 0.0 ? "  (runs fast)" : "  (runs slow)";
    text += summary_line("speed error",
                         std::string(doubt) + with_uncertainty(signed_fixed, error, in_all, "%") + std::string(way));
    text += of_budget(channel, measurement);
    auto u95_cents = in_all;
    if (u95_cents) *u95_cents *= kCentsPerPercent;
    text += summary_line("pitch", with_uncertainty(signed_fixed, cents_of_percent(error), u95_cents, "cents"));
  }
  if (reading.frequency_hz) {
    auto u95_hz = in_all;
    if (u95_hz) *u95_hz *= *reading.frequency_hz / 100.0;
    text += summary_line("frequency", with_uncertainty(fixed, *reading.frequency_hz, u95_hz, "Hz"));
  }
  if (reading.level_dbfs) text += summary_line("level", fixed(*reading.level_dbfs, 1) + " dBFS");
  if (reading.carrier_to_noise_dbhz)
    text += summary_line("above noise", fixed(*reading.carrier_to_noise_dbhz, 1) + " dB-Hz");
  text += of_doubt(reading);
  for (const Reason reason : reading.reasons)
    text += summary_line(reason == *reading.reasons.begin() ? "because" : "", reason_words(reason));
  return text + flutter_summary(channel);
}

bool sends_to_the_machine(const Measurement& measurement) {
  return std::any_of(measurement.channels.begin(), measurement.channels.end(), [](const ChannelReading& channel) {
    return four76::sends_to_the_machine(channel.reading) ||
           four76::sends_to_the_machine(channel.causes, channel.verdicts);
  });
}

std::string of_agreement(const Measurement& measurement) {
  if (measurement.channels_identical == true)
    return "left and right carry the same samples: a mono source, which says nothing about the other channel\n";
  if (!measurement.channels_agree) return "";
  return *measurement.channels_agree ? "left and right agree\n" : "left and right do not agree\n";
}

}  // namespace

std::string summary_of(const Measurement& measurement) {
  std::string text = on_one_line(measurement.file) + '\n';
  text += measurement.channels.size() == 1 ? "mono, " : "stereo, ";
  text += std::to_string(measurement.sample_rate_hz) + " Hz, " + fixed(measurement.duration_s, 2) + " s; ";
  text += "tone on the tape: " + trimmed(measurement.tone_nominal_hz) + " Hz\n";
  if (measurement.clock_ppm)
    text += "corrected for a recorder whose clock ran " + signed_fixed(*measurement.clock_ppm, 2) + " ppm fast\n";
  text += '\n';
  if (sends_to_the_machine(measurement)) text.append(safety_text()).append("\n\n");
  for (const ChannelReading& channel : measurement.channels) text += of_channel(channel, measurement) + '\n';
  text += of_agreement(measurement);
  if (measurement.any_measured()) text += "\u00b1 holds in 95 of 100 cases.\n";
  return text;
}

std::string why_not_measured(const Measurement& measurement) {
  for (const ChannelReading& channel : measurement.channels)
    for (const Reason reason : channel.reading.reasons)
      return "no reading that can be trusted: " + std::string(reason_words(reason)) +
             (sends_to_the_machine(reason) ? ". " + std::string(safety_text()) : "");
  return "no reading that can be trusted";
}

}  // namespace four76::cli
