// Signals with a known truth, for the tests of the core's blocks. Written apart from core/demo, so that neither can
// hide the other's faults: another noise generator, phases from closed formulas instead of sums.
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <numbers>
#include <random>
#include <span>
#include <vector>

namespace four76::test {

inline constexpr double kTwoPi = 2.0 * std::numbers::pi;

// Standard normal numbers by Marsaglia's polar method over the Mersenne twister: the same on every platform, which
// std::normal_distribution is not.
class Noise {
 public:
  explicit Noise(std::uint64_t seed) : bits_(seed) {}
  double uniform() { return static_cast<double>(bits_() >> 11) * 0x1p-53; }
  double operator()() {
    if (spare_ready_) {
      spare_ready_ = false;
      return spare_;
    }
    double x = 0.0;
    double y = 0.0;
    double square = 0.0;
    do {
      x = 2.0 * uniform() - 1.0;
      y = 2.0 * uniform() - 1.0;
      square = x * x + y * y;
    } while (square >= 1.0 || square == 0.0);
    const double scale = std::sqrt(-2.0 * std::log(square) / square);
    spare_ = y * scale;
    spare_ready_ = true;
    return x * scale;
  }

 private:
  std::mt19937_64 bits_;
  double spare_ = 0.0;
  bool spare_ready_ = false;
};

inline std::size_t frames_in(double seconds, double rate_hz) {
  return static_cast<std::size_t>(std::llround(seconds * rate_hz));
}

// amplitude * sin(2 pi cycles(t)), t from 0.
template <typename Cycles>
std::vector<float> sound_of(Cycles&& cycles, double seconds, double rate_hz, double amplitude) {
  std::vector<float> x(frames_in(seconds, rate_hz));
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double turns = cycles(static_cast<double>(n) / rate_hz);
    x[n] = static_cast<float>(amplitude * std::sin(kTwoPi * (turns - std::floor(turns))));
  }
  return x;
}

inline std::vector<float> tone(double frequency_hz, double seconds, double rate_hz, double amplitude = 0.1,
                               double first_cycles = 0.0) {
  return sound_of([=](double t) { return first_cycles + frequency_hz * t; }, seconds, rate_hz, amplitude);
}

// Wow of one rotating part: f(t) = mean_hz (1 + peak cos(2 pi rate t + angle)), in cycles.
struct SineWow {
  double mean_hz = 3000.0;
  double peak = 0.001;  // of the mean
  double rate_hz = 1.0;
  double angle = 0.0;
  [[nodiscard]] double frequency_hz(double t) const {
    return mean_hz * (1.0 + peak * std::cos(kTwoPi * rate_hz * t + angle));
  }
  [[nodiscard]] double operator()(double t) const {
    return mean_hz * (t + peak / (kTwoPi * rate_hz) * (std::sin(kTwoPi * rate_hz * t + angle) - std::sin(angle)));
  }
};

// White noise of that root mean square.
inline void add_noise(std::span<float> x, double rms, std::uint64_t seed) {
  Noise noise(seed);
  for (float& v : x) v += static_cast<float>(rms * noise());
}

// The noise that leaves a tone of that peak amplitude with C/N0 = dbhz: C = A^2 / 2 over N0 * rate / 2 (derived).
inline double noise_rms(double amplitude, double dbhz, double rate_hz) {
  return amplitude * std::sqrt(rate_hz / 4.0 * std::pow(10.0, -dbhz / 10.0));
}

inline void add_noise_dbhz(std::span<float> x, double amplitude, double dbhz, double rate_hz, std::uint64_t seed) {
  add_noise(x, noise_rms(amplitude, dbhz, rate_hz), seed);
}

inline void add(std::span<float> x, std::span<const float> y) {
  for (std::size_t n = 0; n < x.size() && n < y.size(); ++n) x[n] += y[n];
}

// Something like speech: a voice whose pitch glides and whose syllables come and go, its harmonics falling above 1 kHz,
// with a hiss between them. Peak amplitude of some 1.
inline std::vector<float> voice(double seconds, double rate_hz, double loudness, std::uint64_t seed) {
  Noise noise(seed);
  std::vector<float> x(frames_in(seconds, rate_hz));
  double turns = noise.uniform();
  const double glide = 0.7 + 0.6 * noise.uniform();
  const double begin = noise.uniform();
  double hiss = 0.0;
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double t = static_cast<double>(n) / rate_hz;
    const double pitch_hz =
        140.0 * (1.0 + 0.25 * std::sin(kTwoPi * (glide * t + begin)) + 0.05 * std::sin(kTwoPi * 5.3 * t));
    turns += pitch_hz / rate_hz;
    const double syllable = 0.5 - 0.5 * std::cos(kTwoPi * (4.1 * t + begin));
    double sum = 0.0;
    for (int k = 1; k * pitch_hz < 0.45 * rate_hz && k <= 30; ++k)
      sum += std::sin(kTwoPi * k * turns) / (1.0 + std::pow(k * pitch_hz / 1000.0, 2.0));
    hiss += 0.3 * (noise() - hiss);
    x[n] = static_cast<float>(loudness * (0.25 * syllable * sum + 0.05 * (1.0 - syllable) * hiss));
  }
  return x;
}

// Something like music: notes of the tempered scale, a quarter of a second each, three at a time with eight harmonics.
inline std::vector<float> music(double seconds, double rate_hz, double loudness, std::uint64_t seed) {
  Noise noise(seed);
  std::vector<float> x(frames_in(seconds, rate_hz));
  const std::size_t note = frames_in(0.25, rate_hz);
  for (std::size_t from = 0; from < x.size(); from += note) {
    for (int part = 0; part < 3; ++part) {
      const double pitch_hz = 110.0 * std::exp2(std::floor(noise.uniform() * 36.0) / 12.0);
      for (std::size_t n = from; n < std::min(x.size(), from + note); ++n) {
        const double t = static_cast<double>(n - from) / rate_hz;
        double sum = 0.0;
        for (int k = 1; k <= 8 && k * pitch_hz < 0.45 * rate_hz; ++k)
          sum += std::sin(kTwoPi * k * pitch_hz * t) / (k * k);
        x[n] += static_cast<float>(loudness / 4.0 * std::exp(-6.0 * t) * sum);
      }
    }
  }
  return x;
}

// The mains with its harmonics, falling as 1/k; `loudness` is the fundamental's peak amplitude.
inline std::vector<float> hum(double mains_hz, double seconds, double rate_hz, double loudness, int harmonics = 20) {
  std::vector<float> x(frames_in(seconds, rate_hz));
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double t = static_cast<double>(n) / rate_hz;
    double sum = 0.0;
    for (int k = 1; k <= harmonics && k * mains_hz < 0.45 * rate_hz; ++k)
      sum += std::sin(kTwoPi * (k * mains_hz * t + 0.13 * k)) / k;
    x[n] = static_cast<float>(loudness * sum);
  }
  return x;
}

// Left and right, interleaved.
inline std::vector<float> stereo(std::span<const float> left, std::span<const float> right) {
  std::vector<float> both;
  both.reserve(2 * left.size());
  for (std::size_t n = 0; n < left.size(); ++n) {
    both.push_back(left[n]);
    both.push_back(right[n]);
  }
  return both;
}

// Feeds a block in pieces of that many samples.
template <typename Block>
void feed(Block& block, std::span<const float> samples, std::size_t piece) {
  for (std::size_t at = 0; at < samples.size(); at += piece)
    block.process(samples.subspan(at, std::min(piece, samples.size() - at)));
}

}  // namespace four76::test
