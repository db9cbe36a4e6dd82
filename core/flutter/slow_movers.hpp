// SlowMovers: peaks below 3 Hz whose rate changes evenly while they are listened to, each as the one sine that it is.
//
// A reel's rate changes as the tape plays: r^2 = r0^2 + v t d / pi, rate = v / (2 pi r), so that
//   change = -(v d / (2 pi r^2)) rate   (derived):
// 0.047 Hz a minute for a C60's take-up hub of 11 mm, three resolution widths of a minute's record. In the spectrum
// that is a ridge, and its height is too low. Each peak of the spectrum is taken as a sine (slow_band.hpp), all the
// others taken out, and its change estimated; the strongest first, then all once more. Where that leaves something of a
// mover's own harmonics, or of a part beneath its ridge, that is a peak as well.
//
// A peak is called moving where
// - its change exceeds 1.5 times its u95, and still does without what the mean speed's own drift does to it;
// - its rate changes by no more than a quarter of a percent a second: a C60's empty hub at 9.53 cm/s (derived);
// - it is otherwise a sine: what does not fit one is at most 0.1 of its mean square, noise aside.
//
// Its u95 holds what noise does to the second order of the phase (of power P around the peak, in Hann's window of span
// T: 6.03 sqrt(P / 2) / (A T^2), derived from the window's moments up to the fourth; the Cramer-Rao bound has 3.49),
// and what a wandering motor would do to it, as its shape tells (wander.hpp). A motor that hunts is called moving once
// in forty times where it wanders within seconds, two or three times in forty where it takes a minute (tested).
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>

#include "core/flutter/flutter_peaks.hpp"
#include "core/flutter/slow_band.hpp"

namespace four76 {

class SlowMovers {
 public:
  static constexpr double kHighestHz = 3.0;

  // The peaks with the moving ones put right: strongest first, valid until the next call. The band is loaded; `floors`
  // has found the peaks. The drift is the mean speed's.
  std::span<const FlutterPeak> refine(std::span<const FlutterPeak> peaks, SlowBand& band, const FlutterPeaks& floors,
                                      double drift_percent_per_s) noexcept;

 private:
  static constexpr std::size_t kMostSines = 12;
  struct Sine {
    MovingSine sine;
    FlutterPeak peak;    // as the spectrum has it
    bool moves = false;  // its change is fitted
    bool found = true;   // by the spectrum
  };
  void take_slow(std::span<const FlutterPeak> peaks) noexcept;
  void separate() noexcept;
  void try_to_move(Sine& each) noexcept;
  void look_beneath() noexcept;
  void try_to_add(double rate_hz, double reach_hz, double change_hz_per_s, double least_percent) noexcept;
  bool judge(Sine& each) noexcept;
  [[nodiscard]] std::optional<double> change_u95(const MovingSine& sine, double relative_sigma) const noexcept;
  [[nodiscard]] double power_around(const MovingSine& sine) const noexcept;
  [[nodiscard]] bool under_a_ridge(const Sine& each) const noexcept;
  void gather(std::span<const FlutterPeak> peaks) noexcept;

  SlowBand* band_ = nullptr;
  const FlutterPeaks* floors_ = nullptr;
  double drift_percent_per_s_ = 0.0;
  std::array<Sine, kMostSines> sines_{};
  std::size_t count_ = 0;
  std::array<FlutterPeak, FlutterPeaks::kMost> out_{};
  std::size_t out_count_ = 0;
};

}  // namespace four76
