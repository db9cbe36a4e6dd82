// ToneMeter: one channel from samples to readings: search, track, knots, noise, faults, dial, record.
//
//   samples -> CaptureFaults -> TwoTones -> history -> ToneSearch (until found, then once a second to make sure)
//                 +-> SlipWatch (which knots lost samples reach)
//                 +-> ToneTrack -> KnotBuilder -> KnotJudge -> GapBridge -> FadeTurns -> StepDetector -+
//                         |             +-> LevelWatch, CarrierNoise                                   |
//                         +-> ZoomSpectrum -> Interferers                                              |
//   dial <- WowCanceller, LiveDial <- recent knots, PhaseRecord, FlutterWatch, WowCanceller <----------+
//   calm <- recent knots;  whole <- ToneChoice <- PhaseRecord;  all three by MeanSpeedFit and ReadingJudge
//
// When a tone is found, the history that found it is played to the track, so that nothing of the tone is lost and the
// first reading comes at once.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/flutter/wow_canceller.hpp"
#include "core/reading.hpp"
#include "core/tone/capture_faults.hpp"
#include "core/tone/carrier_noise.hpp"
#include "core/tone/fade_turns.hpp"
#include "core/tone/flutter_watch.hpp"
#include "core/tone/gap_bridge.hpp"
#include "core/tone/interference.hpp"
#include "core/tone/knot_builder.hpp"
#include "core/tone/knot_judge.hpp"
#include "core/tone/level_watch.hpp"
#include "core/tone/live_dial.hpp"
#include "core/tone/mean_speed.hpp"
#include "core/tone/phase_record.hpp"
#include "core/tone/reading_judge.hpp"
#include "core/tone/slip_watch.hpp"
#include "core/tone/step_detector.hpp"
#include "core/tone/tone_choice.hpp"
#include "core/tone/tone_search.hpp"
#include "core/tone/tone_track.hpp"
#include "core/tone/two_tones.hpp"
#include "core/tone/zoom_spectrum.hpp"

namespace four76 {

class ToneMeter {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;
    double nominal_hz = 3000.0;
    bool tone_is_sure = false;                     // the tape carries the nominal, however far off it plays
    std::optional<double> near_hz = std::nullopt;  // of two steady tones the tape's is the one that lies nearer to this
    bool refuse_narrow_capture = false;
    double dial_window_s = 0.36;
    double calm_window_s = 10.0;
  };
  static constexpr std::size_t kLargestBlock = 256;

  explicit ToneMeter(const Config& config);
  void reset() noexcept;
  // At most kLargestBlock samples. Those that are not finite are set to 0 in place.
  void process(std::span<float> samples) noexcept;

  // Readings as of the newest sample.
  [[nodiscard]] Reading read_dial() noexcept;
  [[nodiscard]] Reading read_calm() noexcept;
  [[nodiscard]] Reading read_whole() noexcept;
  // Wow and flutter over the newest 10 s and over everything; where the tone cannot be followed there is none.
  [[nodiscard]] FlutterReading read_live_flutter() const noexcept;
  [[nodiscard]] FlutterReading read_whole_flutter() const noexcept;
  [[nodiscard]] std::optional<FlutterSpectrumView> analyse_flutter() noexcept { return flutter_.analyse(interferers_); }
  [[nodiscard]] const FlutterWatch& flutter() const noexcept { return flutter_; }

  [[nodiscard]] std::optional<double> tone_hz() const noexcept;
  [[nodiscard]] double nominal_hz() const noexcept { return config_.nominal_hz; }
  [[nodiscard]] const CaptureFaults& faults() const noexcept { return faults_; }
  [[nodiscard]] const ZoomSpectrum& zoom() const noexcept { return zoom_; }
  [[nodiscard]] const Interferers& interferers() const noexcept { return interferers_; }

 private:
  void keep_history(std::span<const float> samples) noexcept;
  void search() noexcept;
  void forget_tone() noexcept;
  void start_tracking(double frequency_hz) noexcept;
  void track(std::span<const float> samples) noexcept;
  void take_knot(PhaseKnot knot) noexcept;
  void check(PhaseKnot knot) noexcept;
  [[nodiscard]] bool lost_samples_in(const PhaseKnot& knot) const noexcept;
  [[nodiscard]] bool slipped_in(const PhaseKnot& knot) const noexcept;
  [[nodiscard]] bool lost_lately() const noexcept;  // within the dial's window
  [[nodiscard]] double hold_back_s() const noexcept;
  void store(const PhaseKnot& knot) noexcept;
  void lose_tone() noexcept;
  [[nodiscard]] bool verify_tone() noexcept;  // whether it is followed on
  void update_interference() noexcept;
  [[nodiscard]] std::span<const PhaseKnot> newest_knots(double window_s) const noexcept;
  [[nodiscard]] std::span<const PhaseKnot> consistent_record() noexcept;
  [[nodiscard]] double longest_lock_s() const noexcept;
  [[nodiscard]] bool cannot_tell(Reading& reading) const noexcept;
  void name_other_tone(Reading& reading, double frequency_hz) const noexcept;
  [[nodiscard]] bool proven(std::span<const PhaseKnot> knots) const noexcept;
  [[nodiscard]] Reading blank() const noexcept;
  void fill(Reading& reading, const MeanSpeed& mean, double noise_to_carrier) const noexcept;
  [[nodiscard]] Circumstances circumstances() const noexcept;
  void explain_absence(Reading& reading) const noexcept;
  [[nodiscard]] double time_s() const noexcept;

  Config config_;
  CaptureFaults faults_;
  TwoTones two_tones_;
  ToneSearch search_;
  ToneTrack track_;
  SlipWatch slips_;
  KnotBuilder builder_;
  KnotJudge judge_;
  GapBridge bridge_;
  FadeTurns fade_turns_;
  StepDetector steps_;
  CarrierNoise noise_;
  ZoomSpectrum zoom_;
  MeanSpeedFit fit_;
  PhaseRecord record_;
  ToneChoice choice_;
  LiveDial dial_;
  LevelWatch level_watch_;
  FlutterWatch flutter_;
  WowCanceller wow_;
  Interferers interferers_, seen_before_;

  std::vector<float> history_, newest_;  // a ring of the search's span, and it unrolled
  std::size_t history_next_ = 0;
  std::uint64_t sample_count_ = 0;
  std::uint64_t next_search_ = 0, search_from_ = 0, next_look_ = 0;
  std::uint64_t search_interval_, verify_interval_, look_interval_;

  bool tracking_ = false;
  std::size_t invalid_run_ = 0;
  int strays_ = 0;
  double steady_hz_ = 0.0;  // mean of the newest two seconds; 0 before there is one
  std::size_t longest_lock_knots_ = 0, locks_ = 0;
  double power_share_ = 0.0, best_share_ = 0.0;  // of the tone when it was found; of all tones found so far
  bool stood_alone_ = true;                      // when it was found

  std::vector<PhaseKnot> recent_;  // the newest knots, oldest first, moved down when the buffer is full
  std::size_t recent_end_ = 0;
  std::vector<PhaseKnot> chosen_;
  std::vector<float> scratch_;
  LevelWatch level_watch_before_lock_;
  double recent_loss_s_ = -1e9;  // when samples were lost last, as far as knots tell
};

}  // namespace four76
