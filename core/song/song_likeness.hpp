// SongLikeness: whether what is heard of late looks like the reference where the trail says the tape is.
//
//   r = sum a b / sqrt(sum a^2 sum b^2),   a = L_tape - mean L_tape,   b = L_reference - mean L_reference
//
// L is the logarithmic level of a band less its neighbours', its mean that of some seconds; the sums run over all bands
// and the newest second and a half. The trail agrees in phase, near by, and so do another song's notes of the same
// tuning, in passing or for as long as a chord sounds; but which notes sound, and since when, is the song's own. A
// machine's and a room's colour are the same all the time and drop out, and so does a note that never ends.
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <span>

namespace four76 {

class SongLikeness {
 public:
  void reset() noexcept { *this = {}; }
  // One window of both, as the trail lays them together: PhaseCorrelator's spectra. It stands for so many turns of the
  // dial.
  void hear(std::span<const std::complex<float>> tape, std::span<const std::complex<float>> reference,
            std::size_t turns = 1) noexcept;

  // Of the last second and a half: the trail goes on. True as well where too little was heard to tell. Once let go it
  // must come nearer to what is usual on this trail.
  [[nodiscard]] bool is_alike() const noexcept { return is_alike_; }
  // Of the last 0.6 s: it seems to.
  [[nodiscard]] bool seems_alike() const noexcept { return seems_alike_; }
  // Whether this trail is as good as that one was.
  [[nodiscard]] bool is_as_usual(const SongLikeness& on_other) const noexcept;

 private:
  static constexpr std::size_t kBands = 64;
  static constexpr std::size_t kFrames = 30;
  using Levels = std::array<float, kBands>;
  struct Products {
    double both = 0.0, tape = 0.0, reference = 0.0;
  };
  static Levels levels_of(std::span<const std::complex<float>> bins) noexcept;
  [[nodiscard]] double likeness(std::size_t frames) const noexcept;
  void judge() noexcept;

  Levels tape_mean_{}, reference_mean_{};
  std::array<Products, kFrames> frames_{};  // a ring
  std::size_t next_ = 0, count_ = 0, heard_ = 0;
  double usual_ = 0.0;  // on this trail
  bool is_alike_ = true, seems_alike_ = true;
};

}  // namespace four76
