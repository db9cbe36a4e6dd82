#include "core/flutter/flutter_figures.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {

BandMeter meter(const FlutterFigures::Config& config, FlutterBand band) {
  return BandMeter({{config.point_rate_hz, band, config.differenced}, config.window_s});
}

std::size_t points_in(double seconds, double point_rate_hz) {
  return static_cast<std::size_t>(std::llround(seconds * point_rate_hz));
}

}  // namespace

FlutterFigures::FlutterFigures(const Config& config)
    : config_(config),
      bridge_({config.point_rate_hz}),
      bands_{meter(config, FlutterBand::unweighted), meter(config, FlutterBand::weighted),
             meter(config, FlutterBand::wow), meter(config, FlutterBand::flutter), meter(config, FlutterBand::scrape)},
      quasi_peak_({config.point_rate_hz}),
      weighted_({config.point_rate_hz}),
      live_largest_(points_in(config.window_s, config.point_rate_hz)),
      live_drift_({config.point_rate_hz, static_cast<std::size_t>(std::llround(config.window_s))}),
      whole_drift_({config.point_rate_hz, 0}),
      detector_wait_points_(points_in(band(FlutterBand::weighted).filter().settling_s(), config.point_rate_hz)),
      warm_up_(points_in(kLeastS, config.point_rate_hz)) {}

void FlutterFigures::reset() noexcept {
  bridge_.reset();
  for (BandMeter& each : bands_) each.reset();
  quasi_peak_.reset();
  weighted_.reset();
  live_largest_.reset();
  whole_largest_ = 0.0;
  live_drift_.reset();
  whole_drift_.reset();
  warm_count_ = 0;
  running_ = false;
}

void FlutterFigures::process(std::span<const DeviationPoint> points) noexcept {
  for (const DeviationPoint& point : points)
    for (const BridgedPoint& bridged : bridge_.add(point)) take(bridged);
}

void FlutterFigures::take(const BridgedPoint& point) noexcept {
  const bool sound = point.kind == BridgedPoint::Kind::sound;
  live_drift_.add(point.percent, sound);
  whole_drift_.add(point.percent, sound);
  if (point.kind == BridgedPoint::Kind::lost) {
    lose();
  } else if (running_) {
    pass(point);
  } else {
    warm_up_[warm_count_++] = point;
    if (warm_count_ == warm_up_.size()) begin_run();
  }
}

void FlutterFigures::begin_run() noexcept {
  double mean = 0.0;
  for (const BridgedPoint& each : warm_up_) mean += each.percent / static_cast<double>(warm_up_.size());
  for (BandMeter& each : bands_) {
    each.settle(mean);
    for (auto point = warm_up_.rbegin(); point != warm_up_.rend(); ++point) each.warm(point->percent);
    each.unsettle();
  }
  running_ = true;
  warm_count_ = 0;
  for (const BridgedPoint& each : warm_up_) pass(each);
}

void FlutterFigures::pass(const BridgedPoint& point) noexcept {
  const bool sound = point.kind == BridgedPoint::Kind::sound;
  std::optional<double> weighted;
  for (std::size_t i = 0; i < bands_.size(); ++i) {
    const auto filtered = bands_[i].process(point.percent, sound);
    if (i == static_cast<std::size_t>(FlutterBand::weighted)) weighted = filtered;
  }
  detect(weighted);
}

// A largest value has no mercy on what is left of a transient: the detector stands still for as long again as the
// figures do, and goes on from where it stood. From 0 it would read too little of a tape with a void every second.
void FlutterFigures::detect(std::optional<double> weighted) noexcept {
  if (weighted)
    weighted_.add(*weighted);
  else
    weighted_.add_void();
  if (!weighted) detector_waits_ = detector_wait_points_;
  const bool counts = weighted && detector_waits_ == 0;
  if (weighted && detector_waits_ > 0) --detector_waits_;
  const double reading = counts ? quasi_peak_.process(*weighted) : 0.0;
  live_largest_.add(reading);
  whole_largest_ = std::max(whole_largest_, reading);
}

// What was held back is too short to be read.
void FlutterFigures::lose() noexcept {
  running_ = false;
  quasi_peak_.reset();
  for (std::size_t passed = 0; passed <= warm_count_; ++passed) {
    for (BandMeter& each : bands_) each.skip();
    live_largest_.add(0.0);
    weighted_.add_void();
  }
  warm_count_ = 0;
}

FlutterReading FlutterFigures::read(Level level, double largest_percent, const DriftRecord& drift,
                                    std::optional<double> noise_to_carrier) const noexcept {
  FlutterReading reading;
  reading.drift = fit_drift(drift.blocks());
  const auto fill = [&](FlutterBand which, auto&& take_level) {
    const auto found = (band(which).*level)();
    if (!found || found->counted_s < kLeastS) return;
    std::optional<NoiseShare> noise;
    if (noise_to_carrier)
      noise = noise_share(band(which).filter(), config_.nominal_hz, *noise_to_carrier, found->counted_s);
    take_level(*found, noise);
  };
  fill(FlutterBand::weighted, [&](const BandLevel& found, const std::optional<NoiseShare>& noise) {
    reading.counted_s = found.counted_s;
    reading.weighted_two_sigma = two_sigma_figure(found, noise);
    reading.weighted_rms = rms_figure(found, noise);
    reading.weighted_quasi_peak = quasi_peak_figure(largest_percent, noise);
  });
  fill(FlutterBand::unweighted, [&](const BandLevel& found, const std::optional<NoiseShare>& noise) {
    reading.unweighted_two_sigma = two_sigma_figure(found, noise);
    reading.unweighted_rms = rms_figure(found, noise);
  });
  fill(FlutterBand::wow, [&](const BandLevel& found, const std::optional<NoiseShare>& noise) {
    reading.wow_two_sigma = two_sigma_figure(found, noise);
    reading.wow_rms = rms_figure(found, noise);
  });
  fill(FlutterBand::flutter, [&](const BandLevel& found, const std::optional<NoiseShare>& noise) {
    reading.flutter_two_sigma = two_sigma_figure(found, noise);
    reading.flutter_rms = rms_figure(found, noise);
  });
  fill(FlutterBand::scrape, [&](const BandLevel& found, const std::optional<NoiseShare>& noise) {
    reading.scrape_rms = rms_figure(found, noise);
  });
  return reading;
}

std::size_t FlutterFigures::weighted_trace(std::span<TraceRange> out) const noexcept {
  const std::size_t count = weighted_.copy(out);
  const double delay_s =
      static_cast<double>(band(FlutterBand::weighted).filter().delay_points()) / config_.point_rate_hz;
  for (TraceRange& range : out.first(count)) range.time_s -= delay_s;
  return count;
}

FlutterReading FlutterFigures::live(std::optional<double> noise_to_carrier) const noexcept {
  return read(&BandMeter::live, live_largest_.largest(), live_drift_, noise_to_carrier);
}

FlutterReading FlutterFigures::whole(std::optional<double> noise_to_carrier) const noexcept {
  return read(&BandMeter::whole, whole_largest_, whole_drift_, noise_to_carrier);
}

}  // namespace four76
