#include "web/machine/card_visit.hpp"

#include <algorithm>

#include "core/phrase.hpp"
#include "core/records/kept_lines.hpp"

namespace four76 {
namespace {

bool listens_to(const Model& model, int channel) {
  const Snapshot& all = *model.snapshot;
  if (all.channels < 2) return channel == 0;
  if (all.channels_identical == true) return channel == model.shown_channel;  // one source, twice
  switch (model.settings.channel) {
    case ChannelChoice::left: return channel == 0;
    case ChannelChoice::right: return channel == 1;
    case ChannelChoice::both: break;
  }
  return true;
}

std::string device_of(const Model& model) {
  if (is_demo(model)) return say("simulated tape");
  if (model.capture) return model.capture->device_label;
  return model.file.name;
}

Measurement bare_visit(const Model& model, VisitStage stage) {
  const Settings& settings = model.settings;
  Measurement visit;
  visit.stage = stage;
  visit.place = model.machine.place;
  visit.nominal_hz = settings.nominal_hz;
  visit.tolerance_percent = settings.tolerance_percent;
  visit.device = shortened(device_of(model));  // a file's name may be longer than a card takes
  if (const CheckedClock* clock = clock_in_use(model)) {
    visit.clock_ppm = clock->correction.fast_ppm;
    visit.clock_u95_ppm = clock->correction.u95_ppm;
  }
  return visit;
}

void add_spectrum(Measurement& visit, const SpectrumSnapshot& spectrum) {
  visit.spectrum_dbfs = thinned_spectrum(spectrum.level_dbfs, kMostSpectrum);
  if (visit.spectrum_dbfs.empty()) return;
  const std::size_t each = (spectrum.level_dbfs.size() + kMostSpectrum - 1) / kMostSpectrum;
  visit.spectrum_first_hz = spectrum.first_hz;
  visit.spectrum_bin_hz = spectrum.bin_hz * static_cast<double>(each);
}

void add_channels(Measurement& visit, const Model& model) {
  for (int i = 0; i < model.snapshot->channels; ++i) {
    if (!listens_to(model, i)) continue;
    const ChannelSnapshot& channel = model.snapshot->channel[static_cast<std::size_t>(i)];
    visit.channels.push_back(measured_channel(channel_label(*model.snapshot, i), channel.whole, channel.whole_flutter,
                                              channel.flutter_picture.peaks));
  }
}

// What is held has no whole: the screw may have been turned since it began. Its newest ten seconds are kept.
void add_held_channels(Measurement& visit, const Model& model) {
  for (int i = 0; i < model.snapshot->channels; ++i) {
    if (!listens_to(model, i)) continue;
    const ChannelSnapshot& channel = model.snapshot->channel[static_cast<std::size_t>(i)];
    const Reading* const judged = judged_of(channel);
    visit.channels.push_back(measured_channel(channel_label(*model.snapshot, i), judged ? *judged : channel.dial,
                                              channel.flutter, channel.flutter_picture.peaks));
  }
}

void add_course(Measurement& visit, const TimedRun& timed) {
  visit.course_step_s = timed.course_step_s();
  visit.course_percent = timed.course();
}

// Of the trail that is at hand, its newest seconds.
void add_trail(Measurement& visit, const ChannelSnapshot& channel, double seconds) {
  if (channel.trail.size() < 2) return;
  const double from_s = std::max(channel.trail.front().time_s, channel.trail.back().time_s - seconds);
  TimedRun timed({std::clamp(channel.trail.back().time_s - from_s, kVisitLeastS, kVisitMostS)});
  for (const TrailPoint& point : channel.trail) {
    if (point.time_s < from_s) continue;
    Reading reading;
    reading.time_s = point.time_s;
    reading.status = point.status;
    reading.speed_error_percent = point.speed_error_percent;
    timed.add(reading);
  }
  add_course(visit, timed);
}

}  // namespace

Measurement timed_visit(const Model& model, const MeasureRun& run) {
  const ChannelSnapshot& shown = *shown_channel(model);
  Measurement visit = bare_visit(model, run.kept_as.value_or(VisitStage::between));
  visit.tape_u95_percent = model.settings.tape_tolerance_percent;
  visit.seconds = run.heard_s;
  add_channels(visit, model);
  add_course(visit, run.timed);
  add_spectrum(visit, shown.spectrum);
  return visit;
}

Measurement shown_visit(const Model& model, VisitStage stage) {
  const ChannelSnapshot& shown = *shown_channel(model);
  Measurement visit = bare_visit(model, stage);
  if (in_song(model)) {
    visit.source = VisitSource::song;
    const Reading& judged = *judged_reading(model);
    visit.seconds = judged.trusted_s;
    visit.channels.push_back(measured_channel("mono", judged, {}, {}));
    visit.channels.back().frequency_hz.reset();  // a song has none
  } else if (is_held(model)) {
    visit.tape_u95_percent = model.settings.tape_tolerance_percent;
    visit.seconds = judged_reading(model)->trusted_s;
    add_held_channels(visit, model);
    add_spectrum(visit, shown.spectrum);
  } else {
    visit.tape_u95_percent = model.settings.tape_tolerance_percent;
    visit.seconds = shown.whole.trusted_s;
    add_channels(visit, model);
    add_spectrum(visit, shown.spectrum);
  }
  add_trail(visit, shown, is_held(model) ? visit.seconds : kVisitMostS);
  return visit;
}

}  // namespace four76
