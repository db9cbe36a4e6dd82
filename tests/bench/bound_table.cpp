// How near the reading comes to the Cramer-Rao bound of one tone in white noise (Rife and Boorstyn 1974): RMS error
// over the bound, by C/N0 and length, from samples to the reading. Printed twice: against the bound for the stretch
// that the reading says it rests on, and for the whole of the sound that was given.
//   four76_bound [TRIALS] [SEED] [--table FILE] [--svg FILE]
// Promised, or the status is 1: 0.85 to 1.15 of the bound for the stretch used, in every cell (300 trials know it to
// 4 %, one sigma, and there are 36 cells), a number in every trial from 40 dB-Hz up, and u95 neither too narrow nor too
// wide: it holds in 94 to 96.5 of 100 of all trials.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <vector>

#include "core/signal/gaussian_noise.hpp"
#include "core/signal/uncertainty.hpp"
#include "core/tone/tone_session.hpp"
#include "tests/bench/bound_picture.hpp"
#include "tests/bench/markdown_table.hpp"
#include "tests/bench/plot.hpp"
#include "tests/bench/promises.hpp"
#include "tests/bench/proof_files.hpp"

namespace four76::bench {
namespace {

// The bound knows neither rate nor tone: what costs least.
constexpr double kSampleRateHz = 8000.0;
constexpr double kToneHz = 1000.0;
constexpr double kAmplitude = 0.1;

std::vector<float> noisy_tone(double frequency_hz, double seconds, double dbhz, std::uint64_t seed) {
  GaussianNoise noise(seed);
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

BoundCell try_out(ToneSession& session, double seconds, double dbhz, int trials, std::uint64_t seed) {
  BoundCell cell;
  int read = 0;
  for (int trial = 0; trial < trials; ++trial) {
    const double frequency_hz = kToneHz + 0.37 * trial / trials;
    session.reset();
    session.process(noisy_tone(frequency_hz, seconds, dbhz, seed + static_cast<std::uint64_t>(trial)));
    const Reading reading = session.whole(0);
    if (!reading.frequency_hz) continue;
    ++read;
    const double error_hz = *reading.frequency_hz - frequency_hz;
    const double carrier_to_noise_hz = std::pow(10.0, dbhz / 10.0);
    cell.of_stretch += std::pow(error_hz / cramer_rao_sigma_hz(carrier_to_noise_hz, reading.trusted_s), 2.0);
    cell.of_whole += std::pow(error_hz / cramer_rao_sigma_hz(carrier_to_noise_hz, seconds), 2.0);
    cell.rms_hz += error_hz * error_hz;
    cell.covered_percent += std::abs(error_hz) <= *reading.u95_percent / 100.0 * kToneHz ? 100.0 : 0.0;
  }
  const double count = std::max(1, read);
  for (double* sum : {&cell.of_stretch, &cell.of_whole, &cell.rms_hz}) *sum = std::sqrt(*sum / count);
  cell.covered_percent /= count;
  cell.read_percent = 100.0 * read / trials;
  return cell;
}

// Every cell has noise of its own, so that one draw cannot colour a whole column.
BoundTable try_all(int trials, std::uint64_t seed) {
  ToneSession session({.sample_rate_hz = kSampleRateHz, .nominal_hz = kToneHz});
  BoundTable table{};
  std::uint64_t cell = 0;
  for (std::size_t i = 0; i < kLevelsDbhz.size(); ++i)
    for (std::size_t j = 0; j < kLengthsS.size(); ++j)
      table[i][j] = try_out(session, kLengthsS[j], kLevelsDbhz[i], trials, 1'000'000 * seed + 10'000 * cell++);
  return table;
}

void print(const char* title, const BoundTable& table, const char* format, double BoundCell::*value) {
  std::printf("%s\n   dB-Hz", title);
  for (const double seconds : kLengthsS) std::printf("%7g s", seconds);
  std::printf("\n");
  for (std::size_t i = 0; i < kLevelsDbhz.size(); ++i) {
    std::printf("%8g", kLevelsDbhz[i]);
    for (const BoundCell& cell : table[i]) std::printf(format, cell.*value);
    std::printf("\n");
  }
  std::printf("\n");
}

std::string markdown(const BoundTable& table, int trials) {
  std::vector<std::string> heads{"C/N0"};
  for (const double seconds : kLengthsS) heads.push_back(decimal(seconds) + " s");
  MarkdownTable ratios(heads);
  for (std::size_t i = 0; i < kLevelsDbhz.size(); ++i) {
    std::vector<std::string> cells{decimal(kLevelsDbhz[i]) + " dB-Hz"};
    for (const BoundCell& cell : table[i]) {
      cells.push_back(decimal(cell.of_whole, 2) + " / " + decimal(cell.of_stretch, 2));
    }
    ratios.row(cells);
  }
  return ratios.text() +
         "\nRMS error over the bound: for all of the sound / for the stretch that the reading says it "
         "rests on. " +
         std::to_string(trials) + " trials a cell, each known to " + decimal(100.0 / std::sqrt(2.0 * trials), 0) +
         " % (one sigma).\n";
}

Promises promises_of(const BoundTable& table) {
  std::vector<double> ratios, read;
  double covered = 0.0;
  for (std::size_t i = 0; i < kLevelsDbhz.size(); ++i)
    for (const BoundCell& cell : table[i]) {
      ratios.push_back(cell.of_stretch);
      if (kLevelsDbhz[i] >= 40.0) read.push_back(cell.read_percent);
      covered += cell.covered_percent / static_cast<double>(kLevelsDbhz.size() * kLengthsS.size());
    }
  return {all_between("RMS error over the bound for the stretch used", ratios, 0.85, 1.15, {2, ""}),
          all_between("trials with a number, from 40 dB-Hz up", read, 100.0, 100.0, {0, " %"}),
          between("trials within their ±", covered, 94.0, 96.5, {1, " %"})};
}

}  // namespace
}  // namespace four76::bench

int main(int argc, char** argv) {
  using namespace four76::bench;
  return run_for_proof("four76_bound", argc, argv, [](const std::vector<std::string>& words, const ProofFiles& files) {
    const int trials =
        static_cast<int>(std::clamp<std::uint64_t>(four76::scenes::number_at(words, 0, 400), 10, 10'000));
    const std::uint64_t seed = four76::scenes::number_at(words, 1, 1);
    const BoundTable table = try_all(trials, seed);
    std::printf("%d trials a cell; their RMS is known to %.0f %% (one sigma)\n\n", trials,
                100.0 / std::sqrt(2.0 * trials));
    print("RMS error over the bound for the stretch used", table, "%9.3f", &BoundCell::of_stretch);
    print("RMS error over the bound for all that was given", table, "%9.3f", &BoundCell::of_whole);
    print("u95 held, percent of trials", table, "%9.1f", &BoundCell::covered_percent);
    return files.write(
        promises_of(table), [&] { return markdown(table, trials); }, [&] { return bound_picture(table, trials); });
  });
}
