// What else sounds in the kitchen: noise, hum, fans, appliances, birds, voices.
#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "tests/scenes/scene.hpp"
#include "tests/scenes/speech.hpp"

namespace four76::scenes {

namespace {

constexpr double kTau = 2.0 * std::numbers::pi;

// Two poles; the gain is that of white noise of RMS 1 to an output of about RMS 1.
struct Resonator {
  double a1, a2, gain;
  double y1 = 0.0, y2 = 0.0;
  Resonator(double hz, double bandwidth_hz, double rate_hz) {
    const double r = std::exp(-std::numbers::pi * bandwidth_hz / rate_hz);
    a1 = 2.0 * r * std::cos(kTau * hz / rate_hz);
    a2 = -r * r;
    gain = std::sqrt(1.0 - r * r);
  }
  double step(double x) {
    const double y = gain * x + a1 * y1 + a2 * y2;
    y2 = y1;
    return y1 = y;
  }
};

double fade(std::size_t n, std::size_t first, std::size_t last, double edge) {
  const auto nearest = static_cast<double>(std::min(n - first, last - 1 - n));
  return std::min(1.0, nearest / edge);
}

}  // namespace

void Scene::mix(const std::vector<double>& made, std::size_t first, double rms) {
  double square = 0.0;
  for (const double x : made) square += x * x;
  if (square <= 0.0) return;
  const double scale = rms / std::sqrt(square / static_cast<double>(made.size()));
  for (std::size_t n = 0; n < made.size(); ++n) samples[first + n] += static_cast<float>(scale * made[n]);
}

Scene& Scene::noise(double carrier_to_noise_dbhz, double amplitude) {
  const double density = amplitude * amplitude / 2.0 / std::pow(10.0, carrier_to_noise_dbhz / 10.0);
  return hiss(std::sqrt(density * sample_rate_hz / 2.0), 0.0, seconds());
}

Scene& Scene::pink_noise(double rms) {
  // A sum of one-pole noises a factor of four apart falls by about 3 dB an octave.
  struct Stage {
    double pole, gain;
    double state = 0.0;
  };
  std::vector<Stage> stages;
  for (double corner = 5.0; corner < 0.4 * sample_rate_hz; corner *= 4.0) {
    const double pole = 1.0 - std::exp(-kTau * corner / sample_rate_hz);
    stages.push_back({pole, std::sqrt(pole)});
  }
  std::vector<double> made(samples.size());
  for (double& x : made) {
    const double white = gaussian();
    for (Stage& s : stages) x += s.state += s.gain * white - s.pole * s.state;
  }
  mix(made, 0, rms);
  return *this;
}

Scene& Scene::hum(double mains_hz, double fundamental, double slope, int harmonics) {
  for (int h = 1; h <= harmonics && h * mains_hz < 0.45 * sample_rate_hz; ++h)
    steady_tone(h * mains_hz, fundamental / std::pow(h, slope) * uniform(0.4, 1.0));
  return *this;
}

Scene& Scene::fan(double rms, double hump_hz) {
  std::vector<double> made(samples.size());
  std::vector<Resonator> humps = {{hump_hz, hump_hz * uniform(0.02, 0.2), sample_rate_hz},
                                  {uniform(200.0, 1500.0), uniform(30.0, 200.0), sample_rate_hz},
                                  {uniform(1500.0, 3400.0), uniform(50.0, 400.0), sample_rate_hz}};
  for (double& x : made)
    for (Resonator& hump : humps) x += hump.step(gaussian());
  mix(made, 0, rms);
  // Blades: their number times the turns a second, and harmonics, which wander as the motor's load does.
  const double blade_hz = uniform(60.0, 350.0);
  const std::vector<double> wander = sum_of(random_process(uniform(0.02, 0.5), 0.5, random_), seconds());
  for (int h = 1; h <= 12 && h * blade_hz < 0.45 * sample_rate_hz; ++h) {
    const double amplitude = rms * uniform(0.2, 1.5) / h;
    double cycles = uniform(0.0, 1.0);
    for (std::size_t n = 0; n < samples.size(); ++n) {
      const auto ms = static_cast<std::size_t>(static_cast<double>(n) * kCurveRateHz / sample_rate_hz);
      cycles += h * blade_hz * (1.0 + wander[ms] / 100.0) / sample_rate_hz;
      samples[n] += static_cast<float>(amplitude * std::sin(kTau * (cycles - std::floor(cycles))));
    }
  }
  return *this;
}

Scene& Scene::steady_tone(double hz, double amplitude, double from_s, double to_s) {
  const std::size_t first = index(from_s);
  const std::size_t last = index(to_s);
  const double edge = 0.003 * sample_rate_hz;
  const std::complex<double> turn = std::polar(1.0, kTau * hz / sample_rate_hz);
  std::complex<double> at = std::polar(amplitude, uniform(0.0, kTau));
  const bool whole = first == 0 && last == samples.size();
  for (std::size_t n = first; n < last; ++n) {
    samples[n] += static_cast<float>(at.imag() * (whole ? 1.0 : fade(n, first, last, edge)));
    at *= turn;
  }
  return *this;
}

Scene& Scene::glide(double from_hz, double to_hz, double amplitude, double from_s, double to_s) {
  const std::size_t first = index(from_s);
  const std::size_t last = index(to_s);
  const double ratio = to_hz / from_hz;
  double cycles = uniform(0.0, 1.0);
  for (std::size_t n = first; n < last; ++n) {
    const double x = static_cast<double>(n - first) / static_cast<double>(last - first);
    cycles += from_hz * std::pow(ratio, x) / sample_rate_hz;
    cycles -= std::floor(cycles);
    samples[n] += static_cast<float>(amplitude * fade(n, first, last, 0.01 * sample_rate_hz) * std::sin(kTau * cycles));
  }
  return *this;
}

Scene& Scene::singer(double hz, double amplitude, double from_s, double to_s) {
  // Vibrato of 5 to 7 Hz and up to half a semitone (common practice); harmonics in phase with each other.
  const std::size_t first = index(from_s);
  const std::size_t last = index(to_s);
  const double vibrato_hz = uniform(5.0, 7.0);
  const double vibrato = uniform(0.0, 0.03);
  double cycles = 0.0;
  for (std::size_t n = first; n < last; ++n) {
    const double t = static_cast<double>(n - first) / sample_rate_hz;
    cycles += hz * (1.0 + vibrato * std::sin(kTau * vibrato_hz * t)) / sample_rate_hz;
    cycles -= std::floor(cycles);
    double sum = 0.0;
    for (int h = 1; h <= 6 && h * hz < 0.4 * sample_rate_hz; ++h) sum += std::sin(kTau * h * cycles) / h;
    samples[n] += static_cast<float>(amplitude * fade(n, first, last, 0.05 * sample_rate_hz) * sum);
  }
  return *this;
}

Scene& Scene::bird(double amplitude) {
  for (double t = uniform(0.0, 1.5); t < seconds(); t += uniform(0.5, 3.0)) {
    const double low = uniform(2000.0, 3500.0);
    const double high = low * uniform(1.05, 1.8);
    const double length_s = uniform(0.04, 0.2);
    for (int chirps = static_cast<int>(uniform(1.0, 7.0)); chirps > 0; --chirps, t += 1.4 * length_s)
      glide(low, std::min(high, 0.45 * sample_rate_hz), amplitude * uniform(0.5, 1.0), t, t + length_s);
  }
  return *this;
}

Scene& Scene::taps(double amplitude) {
  const auto blow = static_cast<std::size_t>(0.001 * sample_rate_hz);
  std::vector<double> made(static_cast<std::size_t>(0.15 * sample_rate_hz));
  for (double t = uniform(0.2, 1.5); t < seconds(); t += uniform(0.1, 3.0)) {
    Resonator wood(uniform(150.0, 900.0), uniform(20.0, 80.0), sample_rate_hz);
    Resonator rattle(uniform(1500.0, 5000.0), uniform(100.0, 400.0), sample_rate_hz);
    double peak = 0.0;
    for (std::size_t n = 0; n < made.size(); ++n) {
      const double force = n < blow ? gaussian() : 0.0;
      made[n] = wood.step(force) + rattle.step(force);
      peak = std::max(peak, std::abs(made[n]));
    }
    const double scale = amplitude * uniform(0.2, 1.0) / peak;
    const std::size_t first = index(t);
    for (std::size_t n = 0; n < made.size() && first + n < samples.size(); ++n)
      samples[first + n] += static_cast<float>(scale * made[n]);
  }
  return *this;
}

Scene& Scene::rumble(double rms) {
  std::vector<double> made(samples.size());
  Resonator low(uniform(15.0, 50.0), 25.0, sample_rate_hz);
  for (double& x : made) x = low.step(gaussian());
  mix(made, 0, rms);
  return *this;
}

Scene& Scene::wandering_tone(double hz, double by_hz, double amplitude) {
  const std::vector<double> wander = sum_of(random_process(by_hz, 0.3, random_), seconds());
  double cycles = uniform(0.0, 1.0);
  for (std::size_t n = 0; n < samples.size(); ++n) {
    const auto ms = static_cast<std::size_t>(static_cast<double>(n) * kCurveRateHz / sample_rate_hz);
    cycles += (hz + wander[ms]) / sample_rate_hz;
    cycles -= std::floor(cycles);
    samples[n] += static_cast<float>(amplitude * std::sin(kTau * cycles));
  }
  return *this;
}

Scene& Scene::beeps(double hz, double amplitude) {
  const double length_s = uniform(0.08, 0.6);
  const double pause_s = uniform(0.1, 3.0);
  for (double t = uniform(0.2, 2.0); t < seconds(); t += length_s + pause_s)
    steady_tone(hz, amplitude, t, t + length_s);
  return *this;
}

Scene& Scene::speech(double rms, double from_s, double to_s) {
  const std::size_t first = index(from_s);
  const std::size_t last = index(to_s);
  std::size_t n = first;
  bool begun = false;
  while (n < last) {
    const auto& clip = speech_clip(static_cast<int>(uniform(0.0, speech_count() - 1e-9)), sample_rate_hz);
    const auto from = begun ? 0 : static_cast<std::size_t>(uniform(0.0, 0.5) * static_cast<double>(clip.size()));
    begun = true;
    const std::size_t end = std::min(last, n + clip.size() - from);
    for (std::size_t k = from; n < end; ++n, ++k) samples[n] += static_cast<float>(rms) * clip[k];
  }
  return *this;
}

Scene& Scene::coming_and_going(Scene& (Scene::*sound)(double, double, double), double rms) {
  for (double t = uniform(0.0, 3.0); t < seconds(); t += uniform(1.0, 4.0)) {
    const double length_s = uniform(0.5, 4.0);
    (this->*sound)(rms, t, t + length_s);
    t += length_s;
  }
  return *this;
}

}  // namespace four76::scenes
