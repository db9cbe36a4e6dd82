// The track against the analytic signal that Fourier's transform of the whole sound gives (FFTW, double precision): no
// loop, no decimation, no filter taps in common.
#include <fftw3.h>
#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <vector>

#include "tests/unit/core/test_signals.hpp"
#include "tests/unit/core/tracked.hpp"

namespace four76 {
namespace {

using Complex = std::complex<double>;

void transform(std::vector<Complex>& x, int direction) {
  auto* data = reinterpret_cast<fftw_complex*>(x.data());
  const fftw_plan plan = fftw_plan_dft_1d(static_cast<int>(x.size()), data, data, direction, FFTW_ESTIMATE);
  fftw_execute(plan);
  fftw_destroy_plan(plan);
}

// The band of a point about the tone: flat to 260 Hz, nothing beyond 740 Hz, between them a raised cosine, whose
// ringing dies soon enough for the sound's joined ends to stay unseen.
double band(double distance_hz) {
  const double x = std::clamp((std::abs(distance_hz) - 260.0) / 480.0, 0.0, 1.0);
  return 0.5 + 0.5 * std::cos(0.5 * test::kTwoPi * x);
}

std::vector<Complex> analytic(std::span<const float> sound, double rate_hz, double centre_hz) {
  std::vector<Complex> x(sound.begin(), sound.end());
  transform(x, FFTW_FORWARD);
  for (std::size_t k = 0; k < x.size(); ++k) {
    const double hz = static_cast<double>(k) * rate_hz / static_cast<double>(x.size());
    x[k] *= 2.0 / static_cast<double>(x.size()) * band(hz - centre_hz);
  }
  transform(x, FFTW_BACKWARD);
  return x;
}

std::vector<double> unwrapped_cycles(const std::vector<Complex>& x) {
  std::vector<double> cycles{std::arg(x[0]) / test::kTwoPi};
  for (std::size_t n = 1; n < x.size(); ++n)
    cycles.push_back(cycles.back() + std::arg(x[n] * std::conj(x[n - 1])) / test::kTwoPi);
  return cycles;
}

// A worn machine's wow: four parts at once, up to 0.3 % together and one of them fast.
double worn(double t) {
  double cycles = 3012.3 * t;
  const double parts[][2] = {{0.52, 0.0012}, {2.9, 0.0008}, {7.6, 0.0008}, {61.0, 0.0003}};
  for (const auto& [rate_hz, peak] : parts)
    cycles += 3000.0 * peak / (test::kTwoPi * rate_hz) * std::sin(test::kTwoPi * rate_hz * t + rate_hz);
  return cycles;
}

struct Difference {
  double rms_cycles = 0.0, largest_cycles = 0.0, level_db = 0.0;
};
Difference difference(std::span<const float> x, double rate_hz) {
  const auto whole = analytic(x, rate_hz, 3012.3);
  const auto cycles = unwrapped_cycles(whole);
  const double seconds = static_cast<double>(x.size()) / rate_hz;
  Difference found;
  double count = 0.0;
  double first = 0.0;
  for (const auto& point : test::track(x, rate_hz, 3000.0, 3012.0)) {
    // Both ends are left out: the transform joins them.
    if (point.time_s < 0.4 || point.time_s > seconds - 0.4) continue;
    const double at = point.time_s * rate_hz;
    const auto n = static_cast<std::size_t>(at);
    const double there = cycles[n] + (at - static_cast<double>(n)) * (cycles[n + 1] - cycles[n]);
    double apart = test::phase_cycles(point) - there;
    if (count == 0.0) first = std::round(apart);
    apart -= first;
    count += 1.0;
    found.rms_cycles += apart * apart;
    found.largest_cycles = std::max(found.largest_cycles, std::abs(apart));
    found.level_db =
        std::max(found.level_db,
                 std::abs(20.0 * std::log10(static_cast<double>(std::abs(point.residual)) / std::abs(whole[n]))));
  }
  found.rms_cycles = std::sqrt(found.rms_cycles / count);
  return found;
}

TEST(ToneTrackOracle, FollowsTheAnalyticSignalOfAWornMachine) {
  for (const double rate_hz : {44100.0, 48000.0}) {
    const auto found = difference(test::sound_of(worn, 4.0, rate_hz, 0.1), rate_hz);
    EXPECT_LT(found.largest_cycles, 2e-5) << rate_hz;
    EXPECT_LT(found.level_db, 0.01) << rate_hz;
  }
}

// At 70 dB-Hz the noise of a band of 1000 Hz is sqrt(1000 * 1e-7 / 2) radians = 0.0011 cycles (derived). Both see the
// same noise, but for the difference of their slopes: less than a quarter of it.
TEST(ToneTrackOracle, SeesTheSameNoise) {
  auto x = test::sound_of(worn, 4.0, 48000.0, 0.1);
  test::add_noise_dbhz(x, 0.1, 70.0, 48000.0, 21);
  const auto found = difference(x, 48000.0);
  EXPECT_LT(found.rms_cycles, 0.0011 / 4.0);
}

}  // namespace
}  // namespace four76
