// ReadingJudge: what a fit must reach to be called measured, and which trouble is worth a reason and what it may cost,
// so that the weightiest comes first.
#pragma once

#include <cstddef>

#include "core/reading.hpp"
#include "core/tone/interference.hpp"
#include "core/tone/knot_judge.hpp"
#include "core/tone/mean_speed.hpp"
#include "core/tone/weighed_reasons.hpp"

namespace four76 {

// What is known beside the fit.
struct Circumstances {
  double sample_rate_hz = 48000.0;
  double nominal_hz = 3000.0;
  bool refuse_narrow_capture = false;
  double dial_window_s = 0.36;
  Interferers lines;            // beside the tone
  bool two_tones = false;       // another steady tone may be the tape's, and nothing tells which
  bool tone_taken_out = false;  // another steady tone is taken out of the input
  TrackedTime time;             // of the tone, by what became of it
  bool fades = false;           // the device takes the level down and keeps it there: see LevelWatch
  bool breathes = false;        // or plays with it
  bool lost_samples = false;    // runs of zeros were found
  bool lost_lately = false;     // samples were lost within the dial's window
  double clipped_share = 0.0;   // of the half seconds so far
};

class ReadingJudge {
 public:
  enum class Window { dial, longer };
  static constexpr double kWorstU95Percent = 1.0;  // a number that could be 1 % off sets no machine
  static constexpr double kLeastWholeS = 0.4;      // of tone
  static constexpr double kTrifle = 0.001;         // percent: worth saying, hardly to be seen in the mean
  static constexpr double kPumpingCosts = 0.05;    // it comes before what the processing adds or leaves standing

  // Both must outlive the judge.
  ReadingJudge(const Circumstances& circumstances, const MeanSpeed& mean) noexcept
      : about_(circumstances), mean_(mean), percent_(100.0 / circumstances.nominal_hz) {}

  // Reasons that the tone's surroundings give. The reading has its numbers.
  void weigh_surroundings(const Reading& reading) noexcept;
  // What was lost, and what lost it. Each costs what its share of the pieces' scatter is, and a trifle at the least.
  void weigh_losses() noexcept;
  // Sets the status: what must be reached for a reading to count; the reason why not is the weightiest of all.
  void judge(Reading& reading, Window window) noexcept;
  // The device plays with the level.
  [[nodiscard]] bool pumped() const noexcept;

  WeighedReasons reasons;

 private:
  [[nodiscard]] bool turns() const noexcept;
  [[nodiscard]] bool live_room() const noexcept;
  [[nodiscard]] Reason turned_by() const noexcept;
  [[nodiscard]] Reason unsteady_because() const noexcept;
  void judge_movement(Reading& reading) noexcept;
  void distrust(Reading& reading, Reason reason) noexcept;

  const Circumstances& about_;
  const MeanSpeed& mean_;
  double percent_;  // of the nominal, a hertz
};

}  // namespace four76
