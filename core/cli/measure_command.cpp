#include "core/cli/measure_command.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <ostream>
#include <vector>

#include "core/cli/audio_file.hpp"
#include "core/cli/complain.hpp"
#include "core/cli/exit_status.hpp"
#include "core/cli/measure_json.hpp"
#include "core/cli/measurement.hpp"
#include "core/cli/summary.hpp"
#include "core/cli/tolerance.hpp"
#include "core/cli/trace_csv.hpp"
#include "core/records/clock_correction.hpp"
#include "core/tone/nominal_tones.hpp"
#include "core/tone/tone_search.hpp"
#include "core/tone/tone_session.hpp"

namespace four76::cli {
namespace {

// The dial turns over every 50 ms; blocks of 20 ms cannot hold two of its readings.
constexpr int kBlocksPerSecond = 50;

std::optional<std::string> fault_of_tone(const ToneSession::Config& config) {
  if (!(config.nominal_hz >= kLowestNominalHz && config.nominal_hz <= kHighestNominalHz))
    return "--tone takes 100 to 10000 Hz: give the frequency that is recorded on the tape";
  if (config.sample_rate_hz > 0.0 && config.nominal_hz >= 0.4 * config.sample_rate_hz)
    return "--tone is too high for the sample rate of this file: record it again with 48000 Hz";
  if (config.near_hz && !(std::fabs(*config.near_hz / config.nominal_hz - 1.0) <= kSearchRange))
    return "--near takes a frequency within 25 % of --tone: one of the two that were named";
  if (const auto fault = ToneSession::fault_in(config)) return std::string(*fault);
  return std::nullopt;
}

// What is wrong with an option, whatever the file; nothing where all can be used.
std::optional<std::string> fault_of_options(const MeasureOptions& options) {
  if (options.clock_ppm && !(std::fabs(*options.clock_ppm) <= kFarthestClock_ppm))
    return "--clock-ppm takes -1000 to 1000: no sample clock is further off";
  if (!(options.clock_u95_ppm >= 0.0 && options.clock_u95_ppm <= kFarthestClock_ppm))
    return "--clock-u95-ppm takes 0 to 1000: 100 is assumed of a clock that nobody has checked";
  if (options.tape_u95_percent && !(*options.tape_u95_percent >= 0.0 && *options.tape_u95_percent <= 10.0))
    return "--tape-tolerance takes 0 to 10 percent: the tape's label or certificate states it";
  if (const auto fault = fault_of_tolerance(options.tolerance_percent)) return std::string(*fault);
  if (const auto fault = fault_in(options.known)) return std::string(*fault);
  return std::nullopt;
}

// The recorder's true rate; nothing where the session cannot take it although it takes the stated one.
std::optional<double> corrected_rate_hz(ToneSession::Config config, double clock_ppm) {
  config.sample_rate_hz = true_sample_rate_hz(config.sample_rate_hz, clock_ppm);
  return ToneSession::fault_in(config) ? std::nullopt : std::optional(config.sample_rate_hz);
}

void feed(ToneSession& session, AudioFile& file, TraceCsv* trace) {
  const int channels = file.channels();
  std::vector<float> block(static_cast<std::size_t>(file.sample_rate_hz() / kBlocksPerSecond * channels));
  std::uint64_t dials = session.dial_count();
  while (const std::size_t frames = file.read(block)) {
    session.process(std::span(block).first(frames * static_cast<std::size_t>(channels)));
    if (trace && session.dial_count() != dials)
      for (int channel = 0; channel < channels; ++channel)
        trace->add(static_cast<std::size_t>(channel), session.dial(channel));
    dials = session.dial_count();
  }
}

ChannelReading take_channel(ToneSession& session, int channel, std::string_view name, const MeasureOptions& options) {
  ChannelReading found{.channel = name,
                       .reading = session.whole(channel),
                       .budget = {},
                       .flutter = session.whole_flutter(channel),
                       .level = session.whole_level(channel)};
  found.budget = error_budget(found.reading, options.clock_u95_ppm, options.tape_u95_percent);
  std::optional<FlutterSpectrumView> spectrum;
  if (found.flutter.weighted_rms) spectrum = session.analyse_flutter(channel);
  if (spectrum) found.components.assign(spectrum->peaks.begin(), spectrum->peaks.end());
  FlutterEvidence evidence = session.gather_evidence(channel, Stretch::whole, spectrum);
  evidence.tolerance_percent = options.tolerance_percent;
  evidence.known = options.known;
  found.causes = find_causes(evidence);
  found.verdicts = find_verdicts(evidence, found.causes);
  return found;
}

Measurement take(ToneSession& session, const AudioFile& file, const MeasureOptions& options) {
  Measurement found{.file = options.file,
                    .sample_rate_hz = file.sample_rate_hz(),
                    .duration_s = file.seconds_read(),
                    .tone_nominal_hz = options.tone_hz,
                    .clock_ppm = options.clock_ppm,
                    .clock_is_checked = options.clock_u95_ppm != kUncheckedClock_ppm,
                    .channels = {},
                    .channels_identical = session.channels_identical(),
                    .channels_agree = session.channels_agree()};
  if (file.channels() == 1) {
    found.channels = {take_channel(session, 0, "mono", options)};
  } else {
    found.channels = {take_channel(session, 0, "left", options), take_channel(session, 1, "right", options)};
  }
  return found;
}

}  // namespace

int run_measure(const MeasureOptions& options, std::ostream& out, std::ostream& err) {
  ToneSession::Config config;
  config.nominal_hz = options.tone_hz;
  config.tone_is_sure = options.tone_is_sure;
  config.near_hz = options.near_hz;
  if (const auto fault = fault_of_tone(config)) return complain(err, *fault), kBadUsage;
  if (const auto fault = fault_of_options(options)) return complain(err, *fault), kBadUsage;
  auto file = AudioFile::open(options.file);
  if (!file) return complain(err, options.file, file.fault()), kFileFault;

  config.sample_rate_hz = file->sample_rate_hz();
  config.channels = file->channels();
  if (const auto fault = fault_of_tone(config)) return complain(err, options.file, *fault), kBadUsage;
  if (options.clock_ppm) {
    const auto rate_hz = corrected_rate_hz(config, *options.clock_ppm);
    if (!rate_hz)
      return complain(err, options.file, "--clock-ppm has no room at this sample rate: convert the file to 48000 Hz"),
             kBadUsage;
    config.sample_rate_hz = *rate_hz;
  }

  std::optional<TraceCsv> trace;
  if (options.trace_file) {
    auto created = TraceCsv::create(*options.trace_file, options.file);
    if (!created) return complain(err, *options.trace_file, created.fault()), kFileFault;
    trace = std::move(*created);
  }

  ToneSession session(config);
  feed(session, *file, trace ? &*trace : nullptr);
  if (file->seconds_read() == 0.0)
    return complain(err, options.file, "is damaged, no sound can be read from it: record or copy it again"), kFileFault;
  const Measurement found = take(session, *file, options);

  out << (options.json ? to_json(found) + '\n' : summary_of(found));
  if (const auto complaint = file->complaint()) complain(err, options.file, *complaint);
  if (!found.any_measured()) complain(err, options.file, why_not_measured(found));
  if (trace && !trace->write())
    return complain(err, *options.trace_file, "could not be written to its end: make room on the disk"), kFileFault;
  return found.any_measured() ? kDone : kNoReading;
}

}  // namespace four76::cli
