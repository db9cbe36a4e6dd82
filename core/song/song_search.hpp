// SongSearch: where in the reference a tape plays and how fast, to some hundredths of a second and of a percent.
//
// Stretches of 8 s of the tape, at 43 speeds from -10.5 to +10.5 %, are laid along the whole reference, word by word.
// All of the tape is then laid about the best places, stretch by stretch. Cost grows with the reference's length alone.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/song/song_course.hpp"
#include "core/song/song_print.hpp"

namespace four76 {

struct SongPlace {
  double speed = 1.0;      // reference seconds that pass in a second of tape
  double start_s = 0.0;    // of the reference, where the tape begins; below 0 where it begins earlier
  double agreement = 0.5;  // over the part of the tape that lies in the reference
};

class SongSearch {
 public:
  explicit SongSearch(std::span<const float> reference);  // at kSongRate_hz

  // The best places, best first, at most eight; no two within a third of a second and half a percent of each other.
  [[nodiscard]] std::vector<SongPlace> find(std::span<const float> tape) const;
  // The place itself, its speed set right, and up to two more that stretches of the tape are at: where it goes on after
  // an edit, anywhere in the reference.
  [[nodiscard]] std::vector<SongPlace> course_of(std::span<const float> tape, const SongPlace& place) const;

  // For a search in slices: adds the places of one stretch's words, made at that speed, to the best ones so far.
  // Allocates nothing where `best` has room for nine.
  void lay(std::span<const std::uint64_t> words, double speed, double stretch_s, std::vector<SongPlace>& best) const;
  static constexpr int kSpeedSteps = 21;  // to either side of the right speed
  static constexpr double kSpeedStep = 0.005;
  // What a place's start is off by at another speed: words stand for the middle of their spectra (derived).
  static double start_correction_s(double speed) noexcept;

 private:
  // The tape's stretches at about the place, found at `found_s` of the tape, or anywhere.
  [[nodiscard]] SongCourse course_about(SongSpectra& tape, const SongPlace& place, std::optional<double> found_s) const;

  std::vector<std::uint64_t> words_;  // of the reference
};

}  // namespace four76
