#include "tests/scenes/scene.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace four76::scenes {

namespace {
constexpr double kTau = 2.0 * std::numbers::pi;
double from_db(double db) { return std::pow(10.0, db / 20.0); }
}  // namespace

Scene::Scene(std::string scene_name, double rate_hz, double seconds, std::uint64_t seed)
    : name(std::move(scene_name)),
      sample_rate_hz(rate_hz),
      samples(static_cast<std::size_t>(rate_hz * seconds)),
      random_(seed) {}

std::size_t Scene::index(double s) const {
  return std::min(samples.size(), static_cast<std::size_t>(std::max(0.0, s * sample_rate_hz)));
}

Scene& Scene::tape(const Tape& tape) {
  std::vector<double> phases;
  for (std::size_t i = 0; i < tape.wow.size(); ++i) phases.push_back(uniform(0.0, kTau));
  double cycles = uniform(0.0, 1.0);
  // Two equal one-pole low-passes; their noise bandwidth is pi/4 of the corner, scaled to the stated RMS.
  const double pole = 1.0 - std::exp(-kTau * tape.random_wow_hz / sample_rate_hz);
  double r1 = 0.0;
  double r2 = 0.0;
  const double rms_of_filtered = std::sqrt(kTau * tape.random_wow_hz / sample_rate_hz / 8.0);
  double a1 = 0.0;
  const double level_pole = 1.0 - std::exp(-kTau * 3.0 / sample_rate_hz);
  const double level_rms = std::sqrt(kTau * 3.0 / sample_rate_hz / 4.0);
  const double half = seconds() / 2.0;
  double sum = 0.0;
  std::size_t count = 0;
  double set_sum = 0.0;
  const auto ramp = 0.005 * sample_rate_hz;
  const std::size_t first = index(tape.start_s);
  const std::size_t last = index(tape.stop_s);
  const auto per_ms = static_cast<std::size_t>(sample_rate_hz / 1000.0);
  for (std::size_t n = 0; n < samples.size(); ++n) {
    const double t = static_cast<double>(n) / sample_rate_hz;
    double percent = tape.error_percent + tape.drift_percent_per_s * (t - half);
    if (tape.step_percent != 0.0 && t >= tape.step_s) percent += tape.step_percent;
    const double set = percent;
    for (std::size_t i = 0; i < tape.wow.size(); ++i)
      percent += tape.wow[i].peak_percent * std::sin(kTau * tape.wow[i].rate_hz * t + phases[i]);
    if (tape.random_wow_rms_percent > 0.0) {
      r1 += pole * (gaussian() - r1);
      r2 += pole * (r1 - r2);
      percent += tape.random_wow_rms_percent * r2 / rms_of_filtered;
    }
    const double hz = tape.tone_hz * (1.0 + percent / 100.0);
    if (n % per_ms == 0) true_hz.push_back(static_cast<float>(tape.tone_hz * (1.0 + set / 100.0)));
    cycles += hz / sample_rate_hz;
    if (n < first || n >= last) continue;
    double gain = tape.amplitude;
    if (tape.amplitude_flutter_db > 0.0) {
      a1 += level_pole * (gaussian() - a1);
      gain *= from_db(tape.amplitude_flutter_db * a1 / level_rms);
    }
    const double edge = std::min(static_cast<double>(n - first), static_cast<double>(last - 1 - n)) / ramp;
    if (edge < 1.0) gain *= 0.5 - 0.5 * std::cos(std::numbers::pi * edge);
    samples[n] += static_cast<float>(gain * std::sin(kTau * (cycles - std::floor(cycles))));
    sum += hz;
    set_sum += tape.tone_hz * (1.0 + set / 100.0);
    ++count;
  }
  if (count > 0) {
    true_mean_hz = sum / static_cast<double>(count);
    set_hz = set_sum / static_cast<double>(count);
  }
  return *this;
}

Scene& Scene::noise(double carrier_to_noise_dbhz, double amplitude) {
  const double density = amplitude * amplitude / 2.0 / std::pow(10.0, carrier_to_noise_dbhz / 10.0);
  const double sigma = std::sqrt(density * sample_rate_hz / 2.0);
  for (float& x : samples) x += static_cast<float>(sigma * gaussian());
  return *this;
}

Scene& Scene::pink_noise(double rms) {
  // A sum of one-pole noises a factor of four apart falls by about 3 dB an octave.
  std::vector<double> states(7, 0.0);
  std::vector<float> made(samples.size());
  double square = 0.0;
  for (float& x : made) {
    double sum = 0.0;
    double corner = 5.0;
    for (double& s : states) {
      const double pole = 1.0 - std::exp(-kTau * std::min(corner, 0.4 * sample_rate_hz) / sample_rate_hz);
      s += pole * (gaussian() / std::sqrt(pole) - s);
      sum += s;
      corner *= 4.0;
    }
    x = static_cast<float>(sum);
    square += sum * sum;
  }
  const auto scale = static_cast<float>(rms / std::sqrt(square / static_cast<double>(made.size())));
  for (std::size_t n = 0; n < samples.size(); ++n) samples[n] += scale * made[n];
  return *this;
}

Scene& Scene::hum(double mains_hz, double fundamental, double slope, int harmonics) {
  const double exact = mains_hz * (1.0 + uniform(-0.0004, 0.0004));
  for (int h = 1; h <= harmonics && h * exact < 0.45 * sample_rate_hz; ++h) {
    const double amplitude = fundamental / std::pow(h, slope) * uniform(0.4, 1.0);
    const double phase = uniform(0.0, kTau);
    for (std::size_t n = 0; n < samples.size(); ++n)
      samples[n] +=
          static_cast<float>(amplitude * std::sin(kTau * h * exact * static_cast<double>(n) / sample_rate_hz + phase));
  }
  return *this;
}

Scene& Scene::steady_tone(double hz, double amplitude) {
  const double phase = uniform(0.0, kTau);
  for (std::size_t n = 0; n < samples.size(); ++n)
    samples[n] += static_cast<float>(amplitude * std::sin(kTau * hz * static_cast<double>(n) / sample_rate_hz + phase));
  return *this;
}

namespace {

// Two-pole resonator of unit gain at its centre, roughly.
struct Resonator {
  double y1 = 0.0, y2 = 0.0, a1 = 0.0, a2 = 0.0, gain = 0.0;
  void tune(double hz, double bandwidth_hz, double rate_hz) {
    const double r = std::exp(-std::numbers::pi * bandwidth_hz / rate_hz);
    a1 = 2.0 * r * std::cos(kTau * hz / rate_hz);
    a2 = -r * r;
    gain = (1.0 - r) * 2.0;
  }
  double step(double x) {
    const double y = gain * x + a1 * y1 + a2 * y2;
    y2 = y1;
    y1 = y;
    return y;
  }
};

void add_normalised(Samples& to, const std::vector<double>& made, std::size_t first, double rms) {
  double square = 0.0;
  for (const double x : made) square += x * x;
  if (square <= 0.0) return;
  const double scale = rms / std::sqrt(square / static_cast<double>(made.size()));
  for (std::size_t n = 0; n < made.size(); ++n) to[first + n] += static_cast<float>(scale * made[n]);
}

}  // namespace

Scene& Scene::speech(double rms, double from_s, double to_s) {
  const std::size_t first = index(from_s);
  const std::size_t last = index(to_s);
  std::vector<double> made(last - first);
  Resonator formants[5];
  double pitch_hz = uniform(100.0, 220.0);
  double pitch_target = pitch_hz;
  double phase = 0.0;
  double level = 0.0;
  double target = 0.0;
  bool voiced = true;
  std::size_t next = 0;
  for (std::size_t n = 0; n < made.size(); ++n) {
    if (n >= next) {  // a new sound every 60 to 220 ms
      next = n + static_cast<std::size_t>(uniform(0.06, 0.22) * sample_rate_hz);
      const double kind = uniform(0.0, 1.0);
      target = kind < 0.2 ? 0.0 : uniform(0.4, 1.0);
      voiced = kind < 0.8;
      pitch_target = std::clamp(pitch_target * uniform(0.9, 1.1), 90.0, 280.0);
      const double centres[5] = {uniform(300.0, 800.0), uniform(900.0, 2200.0), uniform(2300.0, 2900.0),
                                 uniform(3000.0, 3600.0), uniform(4000.0, 5000.0)};
      for (int i = 0; i < 5; ++i)
        formants[i].tune(std::min(centres[i], 0.45 * sample_rate_hz), 60.0 + 40.0 * i, sample_rate_hz);
    }
    level += (target - level) * 60.0 / sample_rate_hz;
    pitch_hz += (pitch_target - pitch_hz) * 20.0 / sample_rate_hz;
    phase += pitch_hz / sample_rate_hz;
    double source = 0.05 * gaussian();
    if (voiced && phase >= 1.0) source += std::sqrt(sample_rate_hz / pitch_hz);
    if (!voiced) source = gaussian();
    if (phase >= 1.0) phase -= 1.0;
    double out = 0.0;
    double weight = 1.0;
    for (auto& formant : formants) {
      out += weight * formant.step(source);
      weight *= 0.6;
    }
    made[n] = level * out;
  }
  add_normalised(samples, made, first, rms);
  return *this;
}

Scene& Scene::music(double rms, double from_s, double to_s) {
  const std::size_t first = index(from_s);
  const std::size_t last = index(to_s);
  std::vector<double> made(last - first);
  const double beat_s = uniform(0.2, 0.5);
  for (double t = 0.0; t < to_s - from_s; t += beat_s) {
    for (int voice = 0; voice < 3; ++voice) {
      const double note_hz = 110.0 * std::pow(2.0, std::floor(uniform(0.0, 48.0)) / 12.0);
      const double decay = uniform(2.0, 8.0);
      const double phase = uniform(0.0, kTau);
      const auto begin = static_cast<std::size_t>(t * sample_rate_hz);
      const auto end = std::min(made.size(), begin + static_cast<std::size_t>(0.9 * sample_rate_hz));
      for (int h = 1; h <= 8 && h * note_hz < 0.45 * sample_rate_hz; ++h)
        for (std::size_t n = begin; n < end; ++n) {
          const double s = static_cast<double>(n - begin) / sample_rate_hz;
          made[n] += std::min(1.0, s * 200.0) * std::exp(-decay * s) / h * std::sin(kTau * h * note_hz * s + phase * h);
        }
    }
    const auto begin = static_cast<std::size_t>(t * sample_rate_hz);  // a noisy beat
    const auto end = std::min(made.size(), begin + static_cast<std::size_t>(0.1 * sample_rate_hz));
    for (std::size_t n = begin; n < end; ++n)
      made[n] += 0.7 * gaussian() * std::exp(-50.0 * static_cast<double>(n - begin) / sample_rate_hz);
  }
  add_normalised(samples, made, first, rms);
  return *this;
}

Scene& Scene::add(const Samples& other, double gain) {
  if (other.empty()) return *this;
  for (std::size_t n = 0; n < samples.size(); ++n) samples[n] += static_cast<float>(gain) * other[n % other.size()];
  return *this;
}

Scene& Scene::reverb(double rt60_s, double wet) {
  // Sparse random taps, thick enough to be dense at this rate, 60 dB down at rt60.
  const auto length = static_cast<std::size_t>(rt60_s * sample_rate_hz);
  std::vector<std::pair<std::size_t, float>> taps;
  const double spacing = sample_rate_hz / 2000.0;
  for (double at = 0.003 * sample_rate_hz; at < static_cast<double>(length); at += uniform(0.3, 1.7) * spacing) {
    const double decay = from_db(-60.0 * at / static_cast<double>(length));
    taps.emplace_back(static_cast<std::size_t>(at), static_cast<float>(decay * gaussian()));
  }
  double square = 0.0;
  for (const auto& tap : taps) square += static_cast<double>(tap.second) * static_cast<double>(tap.second);
  const auto scale = static_cast<float>(wet / std::sqrt(square));
  const Samples dry = samples;
  for (const auto& [delay, gain] : taps) {
    const float g = gain * scale;
    for (std::size_t n = delay; n < samples.size(); ++n) samples[n] += g * dry[n - delay];
  }
  return *this;
}

Scene& Scene::dropouts(int count, double length_s, double depth_db) {
  for (int i = 0; i < count; ++i) {
    const std::size_t at = index(uniform(0.05, 0.95) * seconds());
    const auto length = static_cast<std::size_t>(length_s * uniform(0.5, 1.5) * sample_rate_hz);
    const double depth = from_db(-depth_db);
    for (std::size_t n = at; n < std::min(samples.size(), at + length); ++n) {
      const double x = static_cast<double>(n - at) / static_cast<double>(length);
      const double shape = std::min(1.0, 6.0 * std::min(x, 1.0 - x));
      samples[n] *= static_cast<float>(1.0 - shape * (1.0 - depth));
    }
  }
  return *this;
}

Scene& Scene::gain_control(double target_rms, double attack_s, double release_s) {
  double power = 1e-6;
  double gain = 1.0;
  for (float& x : samples) {
    power += (static_cast<double>(x) * static_cast<double>(x) - power) / (0.02 * sample_rate_hz);
    const double wanted = std::min(30.0, target_rms / std::sqrt(power + 1e-9));
    gain += (wanted - gain) / ((wanted < gain ? attack_s : release_s) * sample_rate_hz);
    x = static_cast<float>(std::clamp(gain * static_cast<double>(x), -1.0, 1.0));
  }
  return *this;
}

Scene& Scene::noise_suppressor(double after_s, double fade_s, double floor_db) {
  for (std::size_t n = index(after_s); n < samples.size(); ++n) {
    const double x = std::min(1.0, (static_cast<double>(n) / sample_rate_hz - after_s) / fade_s);
    samples[n] *= static_cast<float>(from_db(-floor_db * x));
  }
  return *this;
}

Scene& Scene::gate(double rate_hz, double depth_db) {
  double gain = 1.0;
  for (std::size_t n = 0; n < samples.size(); ++n) {
    const double t = static_cast<double>(n) / sample_rate_hz;
    const double wanted = std::fmod(t * rate_hz, 1.0) < 0.6 ? 1.0 : from_db(-depth_db);
    gain += (wanted - gain) / (0.03 * sample_rate_hz);
    samples[n] *= static_cast<float>(gain);
  }
  return *this;
}

Scene& Scene::clip(double at, double then_gain) {
  for (float& x : samples) x = static_cast<float>(then_gain * std::clamp(static_cast<double>(x), -at, at));
  return *this;
}

Scene& Scene::insert_zeros(int count, std::size_t length) {
  for (int i = 0; i < count; ++i) {
    const std::size_t at = index(uniform(0.1, 0.9) * seconds());
    samples.insert(samples.begin() + static_cast<std::ptrdiff_t>(at), length, 0.0F);
  }
  return *this;
}

Scene& Scene::delete_samples(int count, std::size_t length) {
  for (int i = 0; i < count; ++i) {
    const auto at = static_cast<std::ptrdiff_t>(index(uniform(0.1, 0.9) * seconds()));
    samples.erase(samples.begin() + at, samples.begin() + at + static_cast<std::ptrdiff_t>(length));
  }
  return *this;
}

Scene& Scene::quantize(int bits) {
  const double scale = std::pow(2.0, bits - 1);
  for (float& x : samples)
    x = static_cast<float>(std::clamp(std::nearbyint(static_cast<double>(x) * scale), -scale, scale - 1.0) / scale);
  return *this;
}

Scene& Scene::silence_from(double from_s, double to_s, double residue) {
  for (std::size_t n = index(from_s); n < index(to_s); ++n) samples[n] = static_cast<float>(residue * gaussian());
  return *this;
}

Tape portable_wow(Tape tape, double weighted_percent, std::mt19937_64& random) {
  const auto between = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(random); };
  // Rates of the rotating parts at 4.76 cm/s; shares chosen so that the weighted sum comes near the stated figure.
  tape.wow = {{between(5.1, 10.1), 0.45 * weighted_percent * between(0.5, 1.3)},
              {between(1.12, 1.38), 0.6 * weighted_percent * between(0.5, 1.3)},
              {between(0.30, 0.72), 0.7 * weighted_percent * between(0.3, 1.3)},
              {between(1.0, 4.0), 0.4 * weighted_percent * between(0.3, 1.3)},
              {between(20.0, 45.0), 0.2 * weighted_percent * between(0.3, 1.3)}};
  tape.random_wow_rms_percent = 0.15 * weighted_percent;
  tape.random_wow_hz = between(0.5, 20.0);
  return tape;
}

}  // namespace four76::scenes
