// PartialRatio: how much faster a tape runs than the reference was read, from one window of both.
//
//   ratio = f_tape / f_reference of the partials that they have in common
//
// A steady note lies upon itself at every one of its periods, so its place is open, but its partials' frequencies are
// not: they tell the speed from a third of a second, and wherever in the note one looks. Each spectrum's peaks are read
// between the bins (Hann's window, two neighbouring bins; Grandke 1983, from memory), every peak of the tape is set
// against every one of the reference within a semitone and a little, and the ratio is where most of their weight falls
// together: harmonics of one note agree in it, partials of different notes hardly ever. Beyond 4 % there is no ratio: a
// semitone, 5.9 %, would be the next note.
#pragma once

#include <complex>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace four76 {

struct SpeedRatio {
  double ratio = 1.0;
  double sigma = 0.0;  // of the ratio, from the partials' own scatter about it
};

class PartialRatio {
 public:
  static constexpr double kReach = 0.04;
  static constexpr std::size_t kMostPartials = 32;

  PartialRatio();
  // Spectra of PhaseCorrelator::kSize samples each under Hann's window. Nothing where fewer than two partials agree, or
  // where as many agree in another ratio.
  [[nodiscard]] std::optional<SpeedRatio> of(std::span<const std::complex<float>> tape,
                                             std::span<const std::complex<float>> reference) noexcept;

 private:
  struct Partial {
    double bin = 0.0;
    double level = 0.0;  // of the strongest
  };
  struct Pair {
    double off = 0.0;  // ratio less one
    double weight = 0.0;
    double sigma = 0.0;
  };

  std::size_t find_partials(std::span<const std::complex<float>> bins, std::span<Partial> partials) noexcept;
  void pair_up(std::span<const Partial> tape, std::span<const Partial> reference) noexcept;
  void vote() noexcept;
  // What most weight agrees on, less one; nothing where as much agrees elsewhere.
  [[nodiscard]] std::optional<double> elected() const noexcept;

  std::vector<float> magnitudes_;
  std::vector<double> sums_;  // of the magnitudes below each bin
  std::vector<Pair> pairs_;
  std::vector<double> votes_;
};

}  // namespace four76
