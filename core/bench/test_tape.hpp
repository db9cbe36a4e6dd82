// TestTape: a tone to be recorded onto a tape of one's own, and what that tape is worth.
//
// The tone is worked out afresh for every sample from whole numbers, so that no error adds up: with f in millihertz and
// a rate in whole hertz the phase is n f mod 1000 rate, exact up to 2^63 (derived). Steps of level follow each other,
// each with a raised cosine of 10 ms at both ends, so that nothing clicks.
//
// A tape made on the machine under test says nothing of its speed: what it recorded slow it plays slow. It must be
// recorded on a machine that is known to be right, or be certified: the own tape and a trusted one are played on one
// machine, one right after the other, and
//
//   true tone of the own = its stated tone (1 + e_own / 100) / (1 + e_trusted / 100)   (derived)
//
// The machine's own error cancels; how far it may have moved between the two does not, and goes into the uncertainty.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "core/reading.hpp"
#include "core/result.hpp"

namespace four76 {

struct ToneStep {
  double seconds = 30.0;
  double level_dbfs = -12.0;  // a full-scale sine is 0 dBFS
};

class TestTone {
 public:
  struct Config {
    double tone_hz = 3150.0;               // to the millihertz; 10 Hz to 0.45 of the rate
    std::uint32_t sample_rate_hz = 48000;  // 8000 to 192000
    std::vector<ToneStep> steps = std::vector<ToneStep>(1);
  };
  static constexpr double kMostSeconds = 2.0 * 3600.0;
  static constexpr std::size_t kMostSteps = 32;
  // What is wrong with a configuration, in words that say what to do.
  [[nodiscard]] static std::optional<std::string_view> fault_in(const Config& config) noexcept;

  // The configuration must have no fault.
  explicit TestTone(const Config& config);
  void reset() noexcept;
  // The next samples, as many as there are left; returns how many.
  std::size_t process(std::span<float> samples) noexcept;
  [[nodiscard]] std::uint64_t frames() const noexcept { return frames_; }
  [[nodiscard]] double duration_s() const noexcept;

 private:
  struct Step {
    std::uint64_t from = 0, to = 0;  // frames
    double amplitude = 0.0;
  };
  [[nodiscard]] double gain_at(std::uint64_t n) noexcept;
  std::vector<Step> steps_;
  std::uint64_t tone_mhz_, cycle_;  // the phase counts in units of 1 / cycle_
  std::uint32_t sample_rate_hz_;
  std::uint64_t frames_ = 0, next_ = 0, soft_frames_ = 0;
  std::size_t step_ = 0;
};

enum class CertifyFault : std::uint8_t {
  not_measured,  // one of the two readings is none that can be trusted
  too_far,       // the two lie further apart than two tapes of the same tone can
  machine_moved  // the trusted tape, played again, reads differently: let the machine warm up
};
[[nodiscard]] std::string_view message_of(CertifyFault fault) noexcept;

struct Certificate {
  double true_hz = 0.0;
  double u95_percent = 0.0;  // of that
};
struct CertifyReadings {
  Reading own;
  Reading trusted;                       // played before
  std::optional<Reading> trusted_again;  // and, better, after as well: shows how far the machine moved
};
inline constexpr double kMachineMoves_percent = 0.1;  // between two tapes, where nobody looked (common practice)

// `own_nominal_hz` is what the own tape was recorded as; the readings were each taken against their tape's stated tone,
// on one device, so that its clock cancels too. `trusted_u95_percent` is how far the trusted tape's tone may be off.
[[nodiscard]] Result<Certificate, CertifyFault> certify(const CertifyReadings& readings, double own_nominal_hz,
                                                        double trusted_u95_percent) noexcept;

}  // namespace four76
