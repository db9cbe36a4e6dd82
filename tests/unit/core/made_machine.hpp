// MadeMachine: the evidence that a machine of known faults would give, from its components by the textbook: a sine of
// peak A has a power of A^2 / 2 and reads A as two-sigma, its uncertainty is that of flutter_peaks.hpp.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "core/flutter/flutter_evidence.hpp"
#include "core/flutter/weighting.hpp"

namespace four76 {

// A transport of which all is known.
inline KnownParts transport() {
  KnownParts known;
  known.capstan_diameter_mm = 2.0;
  known.roller_diameter_mm = 12.0;
  known.flywheel_diameter_mm = 40.0;
  known.belt_length_mm = 420.0;  // 952.5 / 420: 2.268 Hz
  known.idler_diameter_mm = 22.0;
  known.motor_rpm = 2400.0;
  return known;
}

class MadeMachine {
 public:
  explicit MadeMachine(double span_s = 60.0) : span_s_(span_s) {
    evidence_.span_s = span_s;
    evidence_.resolution_hz = 2.0 / span_s;
    evidence_.reading.status = Status::measured;
    evidence_.reading.trusted_s = span_s;
    evidence_.level_s = evidence_.dropouts_s = evidence_.drift_s = span_s;
    speed(0.1).drift(0.01, 0.02).level(1.0).dropouts(0.0, 0.0);
    scrape(0.01);
  }

  MadeMachine& turns(double rate_hz, double peak_percent) {
    constexpr double kNoise_percent = 0.002;
    FlutterPeak peak;
    peak.rate_hz = rate_hz;
    peak.peak_percent = peak_percent;
    peak.peak_u95_percent = 2.0 * kNoise_percent;
    peak.rate_u95_hz = 2.0 * 0.689 * kNoise_percent / (peak_percent * span_s_);
    peaks_.push_back(peak);
    return *this;
  }
  // The one named last is not quite steady, or moves evenly.
  MadeMachine& unsteady() {
    peaks_.back().steady = false;
    return *this;
  }
  MadeMachine& moving(double hz_per_minute, double u95_hz_per_minute) {
    peaks_.back().moving = true;
    peaks_.back().change_hz_per_minute = hz_per_minute;
    peaks_.back().change_u95_hz_per_minute = u95_hz_per_minute;
    return unsteady();
  }
  // Deviation without a rhythm, spread about 4 Hz, where the weighting lets all of it through.
  MadeMachine& random(double rms_percent) {
    random_percent_ = rms_percent;
    return *this;
  }
  MadeMachine& speed(double error_percent, double u95_percent = 0.02) {
    evidence_.reading.speed_error_percent = error_percent;
    evidence_.reading.u95_percent = u95_percent;
    evidence_.reading.wow_u95_percent = 0.9 * u95_percent;
    return *this;
  }
  MadeMachine& drift(double percent_per_minute, double u95_percent_per_minute,
                     std::optional<double> over_s = std::nullopt) {
    evidence_.figures.drift = Drift{percent_per_minute, u95_percent_per_minute};
    if (over_s) evidence_.drift_s = *over_s;
    return *this;
  }
  MadeMachine& level(double rms_percent) {
    evidence_.level_rms_percent = rms_percent;
    return *this;
  }
  MadeMachine& dropouts(double per_minute, double deepest_db) {
    evidence_.dropouts_per_minute = per_minute;
    evidence_.deepest_dropout_db = deepest_db;
    return *this;
  }
  MadeMachine& scrape(double rms_percent) {
    scrape_percent_ = rms_percent;
    evidence_.figures.scrape_rms = figure(rms_percent);
    return *this;
  }
  MadeMachine& known(const KnownParts& parts) {
    evidence_.known = parts;
    return *this;
  }
  MadeMachine& tolerance(double percent) {
    evidence_.tolerance_percent = percent;
    return *this;
  }

  // The view stays valid as long as the machine does.
  [[nodiscard]] FlutterEvidence& evidence() {
    std::stable_sort(peaks_.begin(), peaks_.end(),
                     [](const FlutterPeak& a, const FlutterPeak& b) { return a.peak_percent > b.peak_percent; });
    double power = random_percent_ * random_percent_ + scrape_percent_ * scrape_percent_,
           weighted = random_percent_ * random_percent_;
    const double gaussian = power;
    for (const FlutterPeak& peak : peaks_) {
      const double mine = peak.peak_percent * peak.peak_percent / 2.0;
      power += mine;
      weighted += mine * std::pow(weighting_gain(peak.rate_hz), 2);
    }
    // Between a sine's 1.41 and Gauss's 1.96, by what rules.
    const double ratio = gaussian > 0.5 * power ? 1.96 : 1.41;
    FlutterReading& figures = evidence_.figures;
    figures.unweighted_rms = figure(std::sqrt(power));
    figures.weighted_rms = figure(std::sqrt(weighted));
    figures.unweighted_two_sigma = figure(ratio * std::sqrt(power));
    figures.weighted_two_sigma = figure(ratio * std::sqrt(weighted));
    figures.counted_s = span_s_;
    evidence_.peaks = peaks_;
    return evidence_;
  }

 private:
  static FlutterFigure figure(double percent) {
    FlutterFigure made;
    made.percent = percent;
    made.as_read_percent = std::hypot(percent, 0.004);
    made.noise_percent = 0.004;
    made.least_percent = 0.002;
    made.u95_percent = 0.002 + 0.02 * percent;
    return made;
  }

  double span_s_, random_percent_ = 0.01, scrape_percent_ = 0.0;
  std::vector<FlutterPeak> peaks_;
  FlutterEvidence evidence_;
};

}  // namespace four76
