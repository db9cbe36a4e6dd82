// How near the reading comes to the Cramer-Rao bound of one tone in white noise (Rife and Boorstyn 1974): RMS error
// over the bound, by C/N0 and length, from samples to the reading. Printed twice: against the bound for the stretch
// that the reading says it rests on, and for the whole of the sound that was given.
//   four76_bound [TRIALS]
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <numbers>
#include <vector>

#include "core/demo/gaussian_noise.hpp"
#include "core/signal/uncertainty.hpp"
#include "core/tone/tone_session.hpp"

namespace {

// The bound knows neither rate nor tone: what costs least.
constexpr double kSampleRateHz = 8000.0;
constexpr double kToneHz = 1000.0;
constexpr double kAmplitude = 0.1;
constexpr std::array kLevelsDbhz = {35.0, 40.0, 50.0, 60.0, 70.0, 80.0};
constexpr std::array kLengthsS = {0.5, 1.0, 2.0, 5.0, 10.0, 30.0};

struct Cell {
  double of_stretch = 0.0, of_whole = 0.0, covered = 0.0;
};

std::vector<float> noisy_tone(double frequency_hz, double seconds, double dbhz, std::uint64_t seed) {
  four76::GaussianNoise noise(seed);
  const double first = noise.next_uniform();
  const double sigma = kAmplitude * std::sqrt(kSampleRateHz / 4.0 * std::pow(10.0, -dbhz / 10.0));
  std::vector<float> x(static_cast<std::size_t>(seconds * kSampleRateHz));
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double cycles = first + frequency_hz * static_cast<double>(n) / kSampleRateHz;
    x[n] = static_cast<float>(kAmplitude * std::sin(2.0 * std::numbers::pi * (cycles - std::floor(cycles))) +
                              sigma * noise.next());
  }
  return x;
}

Cell try_out(four76::ToneSession& session, double seconds, double dbhz, int trials) {
  Cell cell;
  int read = 0;
  for (int trial = 0; trial < trials; ++trial) {
    const double frequency_hz = kToneHz + 0.37 * trial / trials;
    session.reset();
    session.process(noisy_tone(frequency_hz, seconds, dbhz, 4760u + static_cast<std::uint64_t>(trial)));
    const four76::Reading reading = session.whole(0);
    if (!reading.frequency_hz) continue;
    ++read;
    const double error_hz = *reading.frequency_hz - frequency_hz;
    const double carrier_to_noise_hz = std::pow(10.0, dbhz / 10.0);
    cell.of_stretch += std::pow(error_hz / four76::cramer_rao_sigma_hz(carrier_to_noise_hz, reading.trusted_s), 2.0);
    cell.of_whole += std::pow(error_hz / four76::cramer_rao_sigma_hz(carrier_to_noise_hz, seconds), 2.0);
    cell.covered += std::abs(error_hz) <= *reading.u95_percent / 100.0 * kToneHz ? 100.0 : 0.0;
  }
  const double count = std::max(1, read);
  return {std::sqrt(cell.of_stretch / count), std::sqrt(cell.of_whole / count), cell.covered / count};
}

using Table = std::array<std::array<Cell, kLengthsS.size()>, kLevelsDbhz.size()>;

void print(const char* title, const Table& table, const char* format, double Cell::*value) {
  std::printf("%s\n   dB-Hz", title);
  for (const double seconds : kLengthsS) std::printf("%7g s", seconds);
  std::printf("\n");
  for (std::size_t i = 0; i < kLevelsDbhz.size(); ++i) {
    std::printf("%8g", kLevelsDbhz[i]);
    for (const Cell& cell : table[i]) std::printf(format, cell.*value);
    std::printf("\n");
  }
  std::printf("\n");
}

}  // namespace

int main(int argc, char** argv) {
  const int trials = argc > 1 ? std::max(10, std::atoi(argv[1])) : 400;
  four76::ToneSession session({.sample_rate_hz = kSampleRateHz, .nominal_hz = kToneHz});
  Table table{};
  for (std::size_t i = 0; i < kLevelsDbhz.size(); ++i)
    for (std::size_t j = 0; j < kLengthsS.size(); ++j)
      table[i][j] = try_out(session, kLengthsS[j], kLevelsDbhz[i], trials);
  std::printf("%d trials a cell; their RMS is known to %.0f %% (one sigma)\n\n", trials,
              100.0 / std::sqrt(2.0 * trials));
  print("RMS error over the bound for the stretch used", table, "%9.3f", &Cell::of_stretch);
  print("RMS error over the bound for all that was given", table, "%9.3f", &Cell::of_whole);
  print("u95 held, percent of trials", table, "%9.1f", &Cell::covered);
  return 0;
}
