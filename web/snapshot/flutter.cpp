// Wow and flutter's part of the snapshot's flat form.
#include "web/snapshot/parts.hpp"

namespace four76::flat {
namespace {

void put_figure(Writer& out, const std::optional<FlutterFigure>& figure) {
  out.put<std::uint8_t>(figure ? 1 : 0);
  if (!figure) return;
  out.put(figure->percent);
  out.put(figure->as_read_percent);
  out.put(figure->noise_percent);
  out.put(figure->least_percent);
  out.put(figure->u95_percent);
  out.put<std::uint8_t>(figure->below_noise ? 1 : 0);
}

std::optional<FlutterFigure> get_figure(Reader& in) {
  if (!in.get_flag()) return std::nullopt;
  FlutterFigure figure;
  figure.percent = in.get_optional();
  figure.as_read_percent = in.get<double>();
  figure.noise_percent = in.get_optional();
  figure.least_percent = in.get_optional();
  figure.u95_percent = in.get_optional();
  figure.below_noise = in.get_flag();
  return figure;
}

// Every figure of a reading, in one order for both ways.
template <class Figures, class Visit>
void each_figure(Figures& all, Visit visit) {
  for (auto* figure : {&all.weighted_two_sigma, &all.weighted_quasi_peak, &all.weighted_rms, &all.unweighted_two_sigma,
                       &all.unweighted_rms, &all.wow_two_sigma, &all.wow_rms, &all.flutter_two_sigma, &all.flutter_rms,
                       &all.scrape_rms})
    visit(*figure);
}

void put_drift(Writer& out, const std::optional<Drift>& drift) {
  out.put<std::uint8_t>(drift ? 1 : 0);
  const Drift told = drift.value_or(Drift{});
  for (const double value : {told.percent_per_minute, told.u95_percent_per_minute, told.span_s}) out.put(value);
}

std::optional<Drift> get_drift(Reader& in) {
  const bool drifts = in.get_flag();
  Drift drift;
  for (double* value : {&drift.percent_per_minute, &drift.u95_percent_per_minute, &drift.span_s})
    *value = in.get<double>();
  return drifts ? std::optional(drift) : std::nullopt;
}

void put_figures(Writer& out, const FlutterReading& all) {
  each_figure(all, [&](const std::optional<FlutterFigure>& figure) { put_figure(out, figure); });
  put_drift(out, all.drift);
  out.put(all.counted_s);
}

FlutterReading get_figures(Reader& in) {
  FlutterReading all;
  each_figure(all, [&](std::optional<FlutterFigure>& figure) { figure = get_figure(in); });
  all.drift = get_drift(in);
  all.counted_s = in.get<double>();
  return all;
}

void put_picture(Writer& out, const FlutterPicture& picture) {
  out.put(static_cast<std::uint32_t>(picture.peak_percent.size()));
  for (const float percent : picture.peak_percent) out.put(percent);
  out.put(static_cast<std::uint32_t>(picture.peaks.size()));
  for (const FlutterPeak& peak : picture.peaks) {
    for (const double value : {peak.rate_hz, peak.rate_u95_hz, peak.peak_percent, peak.peak_u95_percent,
                               peak.change_hz_per_minute, peak.change_u95_hz_per_minute})
      out.put(value);
    out.put<std::uint8_t>(peak.steady ? 1 : 0);
    out.put<std::uint8_t>(peak.moving ? 1 : 0);
    out.put<std::uint8_t>(peak.foreign ? 1 : 0);
  }
  out.put(picture.span_s);
}

FlutterPicture get_picture(Reader& in) {
  FlutterPicture picture;
  picture.peak_percent.resize(in.get_count(sizeof(float)));
  for (float& percent : picture.peak_percent) percent = in.get<float>();
  picture.peaks.resize(in.get_count(6 * sizeof(double) + 3));
  for (FlutterPeak& peak : picture.peaks) {
    for (double* value : {&peak.rate_hz, &peak.rate_u95_hz, &peak.peak_percent, &peak.peak_u95_percent,
                          &peak.change_hz_per_minute, &peak.change_u95_hz_per_minute})
      *value = in.get<double>();
    peak.steady = in.get_flag();
    peak.moving = in.get_flag();
    peak.foreign = in.get_flag();
  }
  picture.span_s = in.get<double>();
  return picture;
}

// The numbers of the evidence; its reading and its figures are the whole ones.
void put_evidence(Writer& out, const FlutterEvidence& evidence) {
  for (const double value :
       {evidence.span_s, evidence.resolution_hz, evidence.drift_s, evidence.level_s, evidence.dropouts_s})
    out.put(value);
  for (const auto& value :
       {evidence.since_jump_s, evidence.level_rms_percent, evidence.dropouts_per_minute, evidence.deepest_dropout_db})
    out.put(value);
  put_drift(out, evidence.figures.drift);
}

FlutterEvidence get_evidence(Reader& in, const ChannelSnapshot& channel) {
  FlutterEvidence evidence;
  for (double* value :
       {&evidence.span_s, &evidence.resolution_hz, &evidence.drift_s, &evidence.level_s, &evidence.dropouts_s})
    *value = in.get<double>();
  for (auto* value : {&evidence.since_jump_s, &evidence.level_rms_percent, &evidence.dropouts_per_minute,
                      &evidence.deepest_dropout_db})
    *value = in.get_optional();
  evidence.reading = channel.whole;
  evidence.figures = channel.whole_flutter;
  evidence.figures.drift = get_drift(in);
  return evidence;
}

void put_trace(Writer& out, const std::vector<TraceRange>& trace) {
  out.put(static_cast<std::uint32_t>(trace.size()));
  for (const TraceRange& range : trace) {
    out.put(range.time_s);
    out.put(range.lowest_percent);
    out.put(range.highest_percent);
    out.put<std::uint8_t>(range.any ? 1 : 0);
  }
}

std::vector<TraceRange> get_trace(Reader& in) {
  std::vector<TraceRange> trace;
  trace.resize(in.get_count(sizeof(double) + 2 * sizeof(float) + 1));
  for (TraceRange& range : trace) {
    range.time_s = in.get<double>();
    range.lowest_percent = in.get<float>();
    range.highest_percent = in.get<float>();
    range.any = in.get_flag();
  }
  return trace;
}

}  // namespace

void put_flutter(Writer& out, const ChannelSnapshot& channel) {
  put_figures(out, channel.flutter);
  put_figures(out, channel.whole_flutter);
  put_picture(out, channel.flutter_picture);
  put_evidence(out, channel.evidence);
  put_trace(out, channel.raw);
  put_trace(out, channel.weighted);
}

void get_flutter(Reader& in, ChannelSnapshot& channel) {
  channel.flutter = get_figures(in);
  channel.whole_flutter = get_figures(in);
  channel.flutter_picture = get_picture(in);
  channel.evidence = get_evidence(in, channel);
  channel.raw = get_trace(in);
  channel.weighted = get_trace(in);
}

}  // namespace four76::flat
