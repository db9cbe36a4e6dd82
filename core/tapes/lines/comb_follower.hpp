// CombFollower: the likeliest course of a comb's speed through stretches of sound.
//
// Viterbi's algorithm over 321 speeds, -8..+8 % in steps of 0.05 %. Each speed keeps the best course that ends there: a
// sum of scores for each harmonic, and the mean of its speeds. From stretch to stretch a course goes where the
// machine's movement says, or a little beside. Constant memory: a course is its sums alone.
//
// A harmonic's score is ln P(u | line) - ln P(u | none) for exponentially distributed power, as in line_follower.hpp.
// A comb counts what its harmonics add; one that is not there takes nothing away.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace four76 {

class CombFollower {
 public:
  static constexpr std::size_t kHarmonics = 8, kSpeeds = 321;
  static constexpr double kStep = 0.0005;  // of ln speed
  [[nodiscard]] static constexpr double log_speed(double at) noexcept {
    return kStep * (at - static_cast<double>(kSpeeds / 2));
  }
  using Scores = std::vector<std::array<float, kHarmonics>>;  // kSpeeds of them

  CombFollower();

  // One stretch: what each harmonic says for each speed, and how the machine's mean speed has changed since the last.
  void take(const Scores& scores, double expected_step) noexcept;

  struct Comb {
    double log_speed = 0.0, deviation = 0.0;  // mean, and spread of the stretches about it
    double evidence = 0.0;                    // ln of the odds for a line, of all harmonics
    int harmonics = 0;                        // that stand out
    double stretches = 0.0;
  };
  // The best course whose mean is off the nominal by more than the one and not by more than the other.
  [[nodiscard]] std::optional<Comb> best(double least_offset, double largest_offset = 1.0) const noexcept;

 private:
  struct Course {
    std::array<float, kHarmonics> sums{};
    float evidence = 0.0F;
    double count = 0.0, mean = 0.0, squares = 0.0;
  };
  void extend(Course& course, std::size_t at, const Scores& scores) const noexcept;

  std::vector<Course> courses_, before_;
};

}  // namespace four76
