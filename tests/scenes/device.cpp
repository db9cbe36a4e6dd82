// What the device does: levels, limits, lost samples, narrow bands.
#include <algorithm>
#include <cmath>

#include "tests/scenes/resample.hpp"
#include "tests/scenes/scene.hpp"

namespace four76::scenes {

Scene& Scene::gain_control(const GainControl& control) {
  double power = 1e-6;
  double gain = 1.0;
  for (float& x : samples) {
    power += (static_cast<double>(x) * static_cast<double>(x) - power) / (0.02 * sample_rate_hz);
    const double wanted = std::min(control.highest_gain, control.target_rms / std::sqrt(power + 1e-9));
    gain += (wanted - gain) / ((wanted < gain ? control.attack_s : control.release_s) * sample_rate_hz);
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

Scene& Scene::limit(const Limiter& limiter, double then_gain) {
  const double soft = std::clamp(limiter.softness, 0.0, 1.0);
  for (float& x : samples) {
    const double in = static_cast<double>(x) / limiter.limit + limiter.offset;
    const double out = (1.0 - soft) * std::clamp(in, -1.0, 1.0) + soft * std::tanh(in);
    x = static_cast<float>(then_gain * limiter.limit * (out - limiter.offset));
  }
  return *this;
}

// ---- Lost, added and repeated samples ----------------------------------------------------------------------------

std::size_t Scene::random_length(std::size_t shortest, std::size_t longest) {
  const double length = log_uniform(static_cast<double>(shortest), static_cast<double>(longest) + 0.999);
  return static_cast<std::size_t>(length);
}

std::ptrdiff_t Scene::random_place(std::size_t length) {
  const auto room = static_cast<double>(samples.size() - std::min(samples.size(), length));
  return static_cast<std::ptrdiff_t>(uniform(0.05, 0.95) * room);
}

Scene& Scene::insert_zeros(int count, std::size_t shortest, std::size_t longest) {
  for (int i = 0; i < count; ++i) {
    const std::size_t length = random_length(shortest, longest);
    const std::ptrdiff_t at = random_place(0);
    samples.insert(samples.begin() + at, length, 0.0F);
    lengthen_truth(static_cast<std::size_t>(at), length);
  }
  return *this;
}

Scene& Scene::delete_samples(int count, std::size_t shortest, std::size_t longest) {
  for (int i = 0; i < count; ++i) {
    const std::size_t length = random_length(shortest, longest);
    const std::ptrdiff_t at = random_place(length);
    samples.erase(samples.begin() + at, samples.begin() + at + static_cast<std::ptrdiff_t>(length));
    shorten_truth(static_cast<std::size_t>(at), length);
  }
  return *this;
}

Scene& Scene::blank_samples(int count, std::size_t shortest, std::size_t longest) {
  for (int i = 0; i < count; ++i) {
    const std::size_t length = random_length(shortest, longest);
    const std::ptrdiff_t at = random_place(length);
    std::fill_n(samples.begin() + at, length, 0.0F);
  }
  return *this;
}

Scene& Scene::conceal_losses(int count, std::size_t shortest, std::size_t longest) {
  const auto fade = static_cast<std::size_t>(uniform(0.002, 0.01) * sample_rate_hz);
  for (int i = 0; i < count; ++i) {
    const std::size_t length = random_length(shortest, longest);
    const std::ptrdiff_t at = random_place(length + fade);
    for (std::size_t n = 0; n < fade; ++n) {  // what comes after the loss is faded in over what came before it
      const double x = static_cast<double>(n) / static_cast<double>(fade);
      float& before = samples[static_cast<std::size_t>(at) + n];
      float& after = samples[static_cast<std::size_t>(at) + length + n];
      after = static_cast<float>((1.0 - x) * static_cast<double>(before) + x * static_cast<double>(after));
    }
    samples.erase(samples.begin() + at, samples.begin() + at + static_cast<std::ptrdiff_t>(length));
    shorten_truth(static_cast<std::size_t>(at), length);
  }
  return *this;
}

Scene& Scene::slip(double period_s, std::size_t length) {
  const auto period = static_cast<std::size_t>(period_s * sample_rate_hz);
  Samples kept;
  kept.reserve(samples.size());
  for (std::size_t n = 0; n < samples.size(); ++n)
    if (n % period >= length || n < period) kept.push_back(samples[n]);
  samples = std::move(kept);
  return *this;
}

Scene& Scene::pad(double before_s, double after_s) {
  const auto before = static_cast<std::size_t>(before_s * sample_rate_hz);
  samples.insert(samples.begin(), before, 0.0F);
  samples.resize(samples.size() + static_cast<std::size_t>(after_s * sample_rate_hz));
  const auto silent_ms = static_cast<std::size_t>(before_s * kCurveRateHz);
  for (ToneTruth& tone : tones)
    for (std::vector<float>* curve : {&tone.set_hz, &tone.true_hz}) {
      curve->resize(curve->size() - 2);  // the curve's margin
      curve->insert(curve->begin(), silent_ms, 0.0F);
      curve->resize(curve->size() + static_cast<std::size_t>(after_s * kCurveRateHz) + 2);
    }
  return *this;
}

Scene& Scene::repeat_blocks(int count, std::size_t length) {
  for (int i = 0; i < count; ++i) {
    const std::ptrdiff_t at = random_place(length);
    const Samples block(samples.begin() + at, samples.begin() + at + static_cast<std::ptrdiff_t>(length));
    samples.insert(samples.begin() + at, block.begin(), block.end());
    lengthen_truth(static_cast<std::size_t>(at), length);
  }
  return *this;
}

// ---- The converter and what is behind it -------------------------------------------------------------------------

Scene& Scene::low_pass(double corner_hz) {
  samples = scenes::low_pass(samples, sample_rate_hz, corner_hz);
  return *this;
}

// The telephone's companding to 8 bits (ITU-T G.711, mu = 255; the smooth law, not its chords).
Scene& Scene::mu_law() {
  constexpr double kMu = 255.0;
  for (float& x : samples) {
    const double in = std::clamp(static_cast<double>(x), -1.0, 1.0);
    const double code = std::nearbyint(127.0 * std::log1p(kMu * std::abs(in)) / std::log1p(kMu)) / 127.0;
    x = static_cast<float>(std::copysign(std::expm1(code * std::log1p(kMu)) / kMu, in));
  }
  return *this;
}

Scene& Scene::quantize(int bits) {
  const double scale = std::pow(2.0, bits - 1);
  for (float& x : samples)
    x = static_cast<float>(std::clamp(std::nearbyint(static_cast<double>(x) * scale), -scale, scale - 1.0) / scale);
  return *this;
}

}  // namespace four76::scenes
