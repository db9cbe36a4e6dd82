// SpeedPosterior: how likely each speed of the machine is, given what its tapes carry.
//
// Independent pieces of evidence multiply (Bayes). On a grid from -8 to +8 %, all cents equally likely beforehand:
//
//   concert pitch   sum over k of p(t - 1200 log2(1 + s) - 100 k),  t the measured offset from A in cents, p the spread
//   of
//                   recordings about that A, widened by the measurement's own deviation: a semitone up is 5.9 % away
//                   and as likely
//   a line          P(on tape) N(s; measured / nominal - 1) + (1 - P(on tape)) / 16 %
//
// Tapes of one maker are tuned alike: what all tapes share beside the machine is a deviation of its own.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/tapes/tape_evidence.hpp"

namespace four76 {

inline constexpr double kMostTapeError_percent = 8.0;
inline constexpr double kSpeedGridStep_percent = 0.005;
inline constexpr std::size_t kSpeedGridSize = 3201;
[[nodiscard]] constexpr double grid_percent(std::size_t at) noexcept {
  return -kMostTapeError_percent + kSpeedGridStep_percent * static_cast<double>(at);
}

// What the music is taken to be tuned to.
struct TuningPrior {
  std::optional<double> concert_a_hz = 440.0;  // nothing: unknown, notes say how the speed moves, not what it is
};

// What the listener says of a tape that they know.
enum class SoundsLike : std::uint8_t { not_said, slow, right, fast };

enum class TapeStatus : std::uint8_t {
  none,       // nothing says the speed
  ambiguous,  // several speeds fit: see the candidates
  measured,   // one speed holds at least 95 % of the posterior
};
[[nodiscard]] std::string_view name_of(TapeStatus status) noexcept;

// One likely speed: a stretch of the posterior that is parted from the others.
struct SpeedCandidate {
  double speed_error_percent = 0.0;  // the mean of its stretch
  double u95_percent = 0.0;          // the half-width about it that holds 95 % of the stretch
  double probability = 0.0;          // of all
};

struct SpeedAnswer {
  TapeStatus status = TapeStatus::none;
  std::vector<TapeReason> reasons;
  std::vector<SpeedCandidate>
      candidates;  // the likeliest first, of equals the one nearest 0; three at most, one where it is measured
  std::vector<std::size_t> disagreeing;  // which tapes, in their order
  std::optional<std::size_t>
      tapes_to_go;  // how many more like these bring the u95 within the tolerance; 0: one speed, and all agree
  std::vector<float> density;  // of each speed on the grid, the highest 1; empty where nothing says
};

// The log-likelihood of each speed on the grid; the highest is 0.
[[nodiscard]] std::vector<float> log_likelihood_of(const Evidence& evidence, const TuningPrior& prior);

// Of one tape, or of several on the same machine.
[[nodiscard]] SpeedAnswer speed_from(std::span<const TapeFindings> tapes, const TuningPrior& prior,
                                     double tolerance_percent = 0.5, SoundsLike sounds_like = SoundsLike::not_said);

// The half-width of one piece of evidence alone about its own speed, and that speed (the one nearest the nominal).
struct EvidenceSpeed {
  double speed_error_percent = 0.0;
  double u95_percent = 0.0;
};
[[nodiscard]] EvidenceSpeed speed_of(const Evidence& evidence, const TuningPrior& prior);

}  // namespace four76
