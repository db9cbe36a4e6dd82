// FlutterFigures: from points of speed deviation to the figures of wow and flutter, live over 10 s and over the whole.
//
//   points --> VoidBridge --> [warm-up] --> BandMeter x 5: weighted, unweighted, wow, flutter, scrape
//                   |                          |    +--> RMS, two-sigma
//                   |                          +-- weighted --> QuasiPeak --> largest
//                   +--> DriftRecord
//
// - Start: the first 5 s are held back (AES6-2008 reads nothing from less), and played to the filters backwards before
//   they are played forwards, so that the filters have settled to the mean speed before anything counts. The same again
//   behind a loss of more than 1 s.
// - Voids up to 1 s are bridged (see void_bridge.hpp); neither they nor the time that a band's filter takes to settle
//   after them count in that band: 0.14 s unweighted, 0.25 s wow, 0.27 s flutter, 0.15 s scrape, 0.67 s weighted. The
//   detector stands still for another 0.67 s; drift leaves out the void alone. The unweighted band's edge at 0.035 Hz
//   carries up to 0.3 of the bridge's error times its length in seconds on for some 6 s: part of the figure, and below
//   1 % of it for bridges of 0.1 s.
// - A slow sag enters the unweighted figures for the first 10 s only, by its bend in the mirror: 3 s times its slope.
// - A figure needs 5 s that count; u95 and noise as in noise_removal.hpp. All in percent of the nominal speed.
//
// The deviation is 100 (f / nominal - 1), differences of the track's phases from point to point, or with `differenced`
// off samples of it. Memory some 0.8 MB at 1000 points a second; process neither allocates nor throws.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/flutter/band_meter.hpp"
#include "core/flutter/drift.hpp"
#include "core/flutter/noise_removal.hpp"
#include "core/flutter/quasi_peak.hpp"
#include "core/flutter/range_trace.hpp"
#include "core/flutter/void_bridge.hpp"
#include "core/flutter/window_maximum.hpp"

namespace four76 {

// Nothing stands where less than 5 s counted.
struct FlutterReading {
  std::optional<FlutterFigure> weighted_two_sigma, weighted_quasi_peak, weighted_rms;
  std::optional<FlutterFigure> unweighted_two_sigma, unweighted_rms;
  std::optional<FlutterFigure> wow_two_sigma, wow_rms;          // below 10 Hz
  std::optional<FlutterFigure> flutter_two_sigma, flutter_rms;  // above
  std::optional<FlutterFigure> scrape_rms;                      // 100 to 200 Hz
  std::optional<Drift> drift;
  double counted_s = 0.0;  // in the weighted band
};

class FlutterFigures {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
    double nominal_hz = 3000.0;
    double window_s = 10.0;
    bool differenced = true;
  };
  static constexpr double kLeastS = 5.0;  // AES6-2008: at least 5 s

  explicit FlutterFigures(const Config& config);
  void reset() noexcept;
  void process(std::span<const DeviationPoint> points) noexcept;

  // N0/C in 1/Hz over the same time; without it nothing is taken out.
  [[nodiscard]] FlutterReading live(std::optional<double> noise_to_carrier) const noexcept;
  [[nodiscard]] FlutterReading whole(std::optional<double> noise_to_carrier) const noexcept;
  // The weighted deviation, as the range in each 50 ms of the newest 40 s, oldest first; by the points' time, the
  // filter's delay taken off. Returns how many.
  std::size_t weighted_trace(std::span<TraceRange> out) const noexcept;
  // Of everything since the speed last jumped.
  [[nodiscard]] SettledDrift settled() const noexcept { return settled_drift(whole_drift_.blocks()); }

 private:
  void take(const BridgedPoint& point) noexcept;
  void begin_run() noexcept;
  void pass(const BridgedPoint& point) noexcept;
  void detect(std::optional<double> weighted) noexcept;
  void lose() noexcept;
  [[nodiscard]] const BandMeter& band(FlutterBand which) const noexcept {
    return bands_[static_cast<std::size_t>(which)];
  }
  using Level = std::optional<BandLevel> (BandMeter::*)() const noexcept;
  [[nodiscard]] FlutterReading read(Level level, double largest_percent, const DriftRecord& drift,
                                    std::optional<double> noise_to_carrier) const noexcept;

  Config config_;
  VoidBridge bridge_;
  std::array<BandMeter, 5> bands_;  // in the order of FlutterBand, without its last
  QuasiPeak quasi_peak_;
  RangeTrace weighted_;
  WindowMaximum live_largest_;
  double whole_largest_ = 0.0;
  DriftRecord live_drift_, whole_drift_;
  std::size_t detector_wait_points_, detector_waits_ = 0;
  std::vector<BridgedPoint> warm_up_;
  std::size_t warm_count_ = 0;
  bool running_ = false;
};

}  // namespace four76
