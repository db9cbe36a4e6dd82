// FlutterWatch: the track's points as wow and flutter, once the meter has judged them.
//
//   points --> [ring, until their knot is judged] --> PhaseDifference --> StartUp --> FlutterFigures, FlutterSpectrum
//                                                +--> LevelFlutter    +--> RangeTrace
//
// A knot is judged some 0.1 s after its points came: only then it is known whether samples were lost in it. A point
// counts where its knot does and the tone has not faded there; a step of the phase, that lost samples make, would be a
// flutter of a hundred percent. Its level is another matter: a dropout is what the level has to show, and only lost
// samples, or what sounds into it, hide it. Time goes on where there is no tone: void points are counted for it.
//
// The noise beside the tone comes as N0/C at each knot, averaged over two seconds: lost samples make it jump for that
// long. The figures therefore go by half seconds without a void shortly before, the newest 10 s by their median, the
// whole by their mean; only where there are none, by the others.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/flutter/flutter_figures.hpp"
#include "core/flutter/flutter_spectrum.hpp"
#include "core/flutter/level_flutter.hpp"
#include "core/flutter/range_trace.hpp"
#include "core/flutter/start_up.hpp"
#include "core/tone/interference.hpp"
#include "core/tone/phase_difference.hpp"
#include "core/tone/phase_knot.hpp"
#include "core/tone/tone_track.hpp"

namespace four76 {

class FlutterWatch {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
    double nominal_hz = 3000.0;
    double noise_bandwidth_hz = 520.0;  // two-sided, of a point
  };
  explicit FlutterWatch(const Config& config);
  void reset() noexcept;

  // A point of the track, its knot not judged yet.
  void hold(const TrackPoint& point) noexcept;
  // The judged knot whose points those held ones are that lie in it; `counts` where the deviation in it can be read.
  // Its level counts where the knot says so.
  void judge(const PhaseKnot& knot, bool counts, std::optional<double> noise_to_carrier) noexcept;
  // No tone up to that time: what is held is dropped, and void points pass.
  void lose(double time_s) noexcept;

  [[nodiscard]] FlutterReading live() const noexcept;
  [[nodiscard]] FlutterReading whole() const noexcept;
  [[nodiscard]] SettledDrift settled_drift() const noexcept { return figures_.settled(); }
  [[nodiscard]] LevelReading live_level() const noexcept;
  [[nodiscard]] LevelReading whole_level() const noexcept;
  // Of what has been heard, up to the newest 60 s; some milliseconds. Valid until the next call. The lines beside the
  // tone are those of the newest moment.
  [[nodiscard]] std::optional<FlutterSpectrumView> analyse(const Interferers& beside) noexcept;
  // The deviation itself in means over some 10 ms, of the nominal speed.
  std::size_t raw_trace(std::span<TraceRange> out) const noexcept;
  // The weighted deviation, about 0.
  std::size_t weighted_trace(std::span<TraceRange> out) const noexcept;

 private:
  static constexpr std::size_t kHeld = 1024;
  static constexpr std::size_t kSmooth = 10;  // points to a value of the trace
  static constexpr std::size_t kNoiseBlocks = 20;
  void pass(const TrackPoint& point, bool counts, bool level_counts) noexcept;
  void give(const DeviationPoint& point, const LevelPoint& level) noexcept;
  void let_through(std::span<const DeviationPoint> points) noexcept;
  [[nodiscard]] static bool is_foreign(const FlutterPeak& peak, const FlutterSpectrumView& view,
                                       const Interferers& beside) noexcept;
  void pass_void_until(double time_s) noexcept;
  void note_noise(const PhaseKnot& knot, std::optional<double> noise_to_carrier) noexcept;
  [[nodiscard]] std::optional<double> recent_noise() const noexcept;
  [[nodiscard]] std::optional<double> total_noise() const noexcept;
  [[nodiscard]] bool below_threshold(const std::optional<double>& noise_to_carrier) const noexcept;

  Config config_;
  std::vector<TrackPoint> held_;  // ring
  std::size_t held_first_ = 0, held_count_ = 0;
  PhaseDifference difference_;
  StartUp start_up_;
  FlutterFigures figures_;
  FlutterSpectrum spectrum_;
  RangeTrace raw_;
  LevelFlutter level_;
  std::array<FlutterPeak, FlutterPeaks::kMost> peaks_{};
  std::size_t silent_points_ = 0;  // in a row, to the newest
  double smooth_sum_ = 0.0;
  std::size_t smooth_count_ = 0;
  bool smooth_void_ = false;

  std::optional<double> first_s_;  // of the first point that was ever given
  double last_s_ = 0.0;            // of the newest given
  struct Sum {
    double seconds = 0.0, weighted = 0.0;  // of N0/C times seconds
  };
  std::array<double, kNoiseBlocks> noise_{};  // ring: N0/C of the newest half seconds
  std::size_t noise_count_ = 0, noise_next_ = 0;
  Sum block_, clean_, all_;
  double clean_from_s_ = 0.0;
};

}  // namespace four76
