// SlipWatch: finds, to some tenths of a millisecond, where a device lost or repeated samples of a running tone.
//
//   z[i] = 2 sum h[k] x[iH + k] exp(-j w k)    h: a Hann window of four cycles, H: one cycle
//   c    = least squares step of arg z in a + b t + c (t > 0), t = -4, -3, -2, 2, 3, 4 cycles
//
// The track's filters are 20 ms long: losses that come as fast as that blur into a speed of their own, 1 / M of them a
// second times the part of a cycle that each one jumps. But no tape turns its tone within a sample, and a device does.
// So a slip is called one where
// - the phase to either side of a place fits a step, and the step stands well out of the noise that the windows beside
//   it have (what is left of their power when the tone is taken out) and that there usually is, and out of what flutter
//   usually makes of c,
// - the tone is as strong behind it as before it, and
// - the window across it holds the tone's power and no longer the tone: A^2 sin^2(pi c) of it does not add up
// (derived).
//   A null of a room turns the phase as well, but its power falls with it; flutter turns it and leaves the tone whole.
// What is faded over by the device itself, some milliseconds long, is left to PhaseBreak and StepDetector.
//
// Finds a slip some seven cycles after it; two of one kind have to lie eight cycles apart to be counted singly.
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace four76 {

class SlipWatch {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;
    double nominal_hz = 3000.0;
  };
  static constexpr std::size_t kLargestBlock = 1024;

  explicit SlipWatch(const Config& config);
  void reset() noexcept;
  // Starts to look at a tone of that frequency, forgetting what came before; the next sample has that index.
  void lock(double frequency_hz, std::uint64_t first_sample) noexcept;
  // At most kLargestBlock samples.
  void process(std::span<const float> samples) noexcept;

  // Whether a slip lies in that range of sample indices, among the newest few.
  [[nodiscard]] bool slipped_between(double first_sample, double last_sample) const noexcept;
  [[nodiscard]] std::uint64_t slip_count() const noexcept { return slip_count_; }  // since the reset

 private:
  struct Grain {
    double cycles = 0.0;                                    // of phase, less the tuned frequency's, unwrapped
    double amplitude = 0.0, square = 0.0, left_over = 0.0;  // |z|, |z|^2, power that is not the tone's
  };
  static constexpr std::size_t kHops = 4;   // in a grain
  static constexpr std::size_t kReach = 4;  // grains to either side of a place
  static constexpr std::size_t kSpan = 2 * kReach + 1;
  static constexpr std::size_t kKept = 16;

  void tune(double centre_hz) noexcept;
  void take_grain() noexcept;
  [[nodiscard]] const Grain& grain(std::size_t age) const noexcept {
    return grains_[(next_grain_ + 2 * kRing - 1 - age) % kRing];
  }
  void look() noexcept;
  [[nodiscard]] double step_cycles() const noexcept;
  [[nodiscard]] bool is_slip(double step) const noexcept;
  void learn(double size) noexcept;
  void learn_left_over() noexcept;

  static constexpr std::size_t kRing = kSpan + 1;  // the place before the newest is judged
  Config config_;
  std::size_t hop_, length_;
  std::vector<float> window_, in_phase_, quadrature_;
  double sum_of_squares_ = 0.0;  // of the window, whose sum is 1
  double time_variance_ = 0.0;   // of the window, square samples
  double step_gain_ = 0.0;       // standard deviation of c over that of one grain's phase
  double centre_hz_ = 0.0;
  bool image_apart_ = true;  // the tone's mirror image does not reach into the window's main lobe

  std::vector<float> input_;  // the newest length_ samples lie before input_end_
  std::size_t input_end_ = 0, until_grain_ = 0;
  std::uint64_t sample_count_ = 0;
  std::complex<double> last_{1.0, 0.0};
  double hop_cycles_ = 0.0, slope_cycles_ = 0.0;  // of the tuned frequency in a hop; what the tone does beside it
  std::array<Grain, kRing> grains_{};
  std::size_t next_grain_ = 0;
  std::uint64_t grain_count_ = 0;
  double before_ = 0.0, now_ = 0.0;  // the newest two steps
  double usual_ = 0.0;               // the size of c that 15 % of all stay below
  double usual_left_over_ = 0.0;     // of A^2, its median
  std::size_t hold_ = 0;             // grains until the next slip may be found
  std::array<std::uint64_t, kKept> places_{};
  std::size_t next_place_ = 0;
  std::uint64_t slip_count_ = 0;
};

}  // namespace four76
