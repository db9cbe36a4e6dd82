// Microphone: a cassette deck heard by a device, block by block as the page's worklet sends them, with what a device
// does to the sound on the way.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <random>
#include <span>
#include <vector>

#include "core/demo/tape_simulator.hpp"
#include "tests/endurance/faults.hpp"

namespace four76::test {

struct Input {
  double rate_hz = 48000.0;
  int channels = 1;
};

inline constexpr double kDeckTone_hz = 3150.0;

class Microphone {
 public:
  explicit Microphone(std::uint64_t seed);

  // Another device in front of the same machine.
  void plug(const Input& input);
  void turn(double trim_percent);
  // The next block; nothing where none arrives, though the tape has gone on.
  [[nodiscard]] std::optional<std::span<const float>> hear(Sound sound);

  [[nodiscard]] const Input& input() const { return input_; }
  [[nodiscard]] double block_s() const;
  [[nodiscard]] double trim_percent() const { return trim_percent_; }

 private:
  std::mt19937_64 chance_;
  Input input_;
  double trim_percent_ = 0.0;
  TapeSimulator tape_;
  std::vector<float> block_;
};

}  // namespace four76::test
