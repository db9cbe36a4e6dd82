// KnotJudge: whether a knot's phase counts, and what has become of the tone's time.
//
// A knot does not count where samples are lost in it; where something sounds beside the tone for a while (speech, a
// note, a beep; what is there all the time becomes the usual within some seconds); and where it does not stand out of
// the noise. What fades is kept as long as it does: in a live room the phase runs fast just where the level falls, and
// to leave that out would bend the mean.
#pragma once

#include <cstddef>

#include "core/tone/phase_knot.hpp"

namespace four76 {

// Of the tone that was followed, by what became of it.
struct TrackedTime {
  double good_s = 0.0, dropout_s = 0.0, gap_s = 0.0, noisy_s = 0.0;
  [[nodiscard]] double all_s() const noexcept { return good_s + gap_s + dropout_s + noisy_s; }
};

class KnotJudge {
 public:
  static constexpr double kDropoutShare = 0.35;  // of the usual amplitude: 9 dB down

  void reset() noexcept { *this = KnotJudge(); }
  // A tone has been found: what is usual of it is not known yet.
  void lock() noexcept;
  // It was a vowel or a note: what it did to the time is forgotten.
  void forget_lock() noexcept { time_ = time_before_lock_; }
  // The newest knot; `lost` where samples are lost in it. Whether its phase counts.
  [[nodiscard]] bool judge(const PhaseKnot& knot, bool lost) noexcept;
  // So much of what counted was lost after all.
  void add_gap(double seconds) noexcept { time_.gap_s += seconds; }

  // Below that share of the usual amplitude.
  [[nodiscard]] bool faded(const PhaseKnot& knot, double share) const noexcept;
  [[nodiscard]] bool disturbed() const noexcept { return disturbed_run_ > 0; }  // the newest knot
  [[nodiscard]] double reference_amplitude() const noexcept { return reference_amplitude_; }
  [[nodiscard]] std::size_t knots_since_lock() const noexcept { return knots_since_lock_; }
  // There is next to nothing of the tone any more.
  [[nodiscard]] bool incoherent() const noexcept;
  [[nodiscard]] const TrackedTime& time() const noexcept { return time_; }

 private:
  [[nodiscard]] bool disturbs_for_long(const PhaseKnot& knot) noexcept;

  std::size_t knots_since_lock_ = 0, disturbed_run_ = 0;
  double reference_amplitude_ = 0.0, usual_log_scatter_ = 0.0;
  double coherence_ = 1.0;
  double pending_dropout_s_ = 0.0;  // faded, and not back yet
  TrackedTime time_, time_before_lock_;
};

}  // namespace four76
