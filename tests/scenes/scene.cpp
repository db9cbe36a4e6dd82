#include "tests/scenes/scene.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace four76::scenes {

namespace {

constexpr double kTau = 2.0 * std::numbers::pi;
// A tone that begins or ends within the recording does so over a few periods: the edit of a tape.
constexpr double kEdgeS = 0.005;
// Time constants of the motor's run-up after which its speed is right within 0.001 %; the true mean counts from there.
constexpr double kSettledAfter = 12.0;

// Linear between the curve's points, which holds to 1e-4 of the fastest wow's swing.
double along(const std::vector<double>& curve, double place) {
  const auto i = static_cast<std::size_t>(place);
  const double part = place - static_cast<double>(i);
  return curve[i] + part * (curve[i + 1] - curve[i]);
}

double raised_cosine(double x) { return x >= 1.0 ? 1.0 : 0.5 - 0.5 * std::cos(std::numbers::pi * std::max(0.0, x)); }

ToneTruth truth_of(const Tape& tape, const SpeedCurve& curve) {
  ToneTruth truth;
  for (std::size_t i = 0; i < curve.set.size(); ++i) {
    const double t = static_cast<double>(i) / kCurveRateHz;
    const double on = t >= tape.start_s && t < tape.stop_s ? tape.tone_hz : 0.0;
    truth.set_hz.push_back(static_cast<float>(on * (1.0 + curve.set[i] / 100.0)));
    truth.true_hz.push_back(static_cast<float>(on * (1.0 + curve.with_wow[i] / 100.0)));
  }
  return truth;
}

}  // namespace

Scene::Scene(std::string scene_name, double rate_hz, double seconds, std::uint64_t seed)
    : name(std::move(scene_name)),
      sample_rate_hz(rate_hz),
      samples(static_cast<std::size_t>(rate_hz * seconds)),
      random_(seed) {}

std::size_t Scene::index(double s) const {
  return std::min(samples.size(), static_cast<std::size_t>(std::max(0.0, s * sample_rate_hz)));
}

Scene Scene::fork() {
  Scene other = *this;
  other.random_.seed(random_());
  other.normal_.reset();
  return other;
}

Scene& Scene::tape(const Tape& tape) {
  const SpeedCurve curve = speed_curve(tape, seconds());
  const std::vector<double> level_db = sum_of(tape.level, seconds());
  const std::size_t first = index(tape.start_s);
  const std::size_t last = index(tape.stop_s);
  const double per_sample = kCurveRateHz / sample_rate_hz;
  double cycles = uniform(0.0, 1.0);
  double percent_sum = 0.0;
  double set_sum = 0.0;
  double count = 0.0;
  const std::size_t settled = index(tape.start_s + kSettledAfter * tape.run_up_s);
  for (std::size_t n = first; n < last; ++n) {
    const double place = static_cast<double>(n) * per_sample;
    const double percent = along(curve.with_wow, place);
    if (n >= settled) {
      percent_sum += percent;
      set_sum += along(curve.set, place);
      count += 1.0;
    }
    cycles += tape.tone_hz * (1.0 + percent / 100.0) / sample_rate_hz;
    cycles -= std::floor(cycles);
    double gain = tape.amplitude;
    if (!tape.level.empty()) gain *= from_db(along(level_db, place));
    if (first > 0) gain *= raised_cosine(static_cast<double>(n - first) / (kEdgeS * sample_rate_hz));
    if (last < samples.size()) gain *= raised_cosine(static_cast<double>(last - 1 - n) / (kEdgeS * sample_rate_hz));
    samples[n] += static_cast<float>(gain * std::sin(kTau * cycles));
  }
  tones.push_back(truth_of(tape, curve));
  if (!tape.asked || count <= 0.0) return *this;
  true_mean_hz = tape.tone_hz * (1.0 + percent_sum / count / 100.0);
  set_hz = tape.tone_hz * (1.0 + set_sum / count / 100.0);
  return *this;
}

Scene& Scene::dropouts(double per_s, double longest_s, double deepest_db) {
  // From 5 ms, a speck of dirt at 4.76 cm/s a quarter of a millimetre long, and from 6 dB.
  double t = -std::log(uniform(0.001, 1.0)) / per_s;
  while (t < seconds()) {
    const double length_s = log_uniform(0.005, longest_s);
    const double depth = 1.0 - from_db(-uniform(6.0, deepest_db));
    const double edge = uniform(0.1, 0.5);
    const std::size_t first = index(t);
    const std::size_t last = index(t + length_s);
    for (std::size_t n = first; n < last; ++n) {
      const double x = static_cast<double>(n - first) / static_cast<double>(last - first);
      samples[n] *= static_cast<float>(1.0 - depth * raised_cosine(std::min(x, 1.0 - x) / edge));
    }
    t += length_s - std::log(uniform(0.001, 1.0)) / per_s;  // a Poisson process
  }
  return *this;
}

Scene& Scene::level_steps(int count, double most_db) {
  std::vector<Step> steps;
  for (int i = 0; i < count; ++i) steps.push_back({uniform(0.0, seconds()), uniform(-most_db, most_db)});
  std::sort(steps.begin(), steps.end(), [](const Step& a, const Step& b) { return a.at_s < b.at_s; });
  double gain_db = 0.0;
  const double pole = 1.0 / (0.03 * sample_rate_hz);
  for (std::size_t n = 0; n < samples.size(); ++n) {
    double wanted_db = 0.0;
    for (const Step& step : steps)
      if (static_cast<double>(n) >= step.at_s * sample_rate_hz) wanted_db = step.percent;
    gain_db += pole * (wanted_db - gain_db);
    samples[n] *= static_cast<float>(from_db(gain_db));
  }
  return *this;
}

Scene& Scene::amplitude_modulation(double rate_hz, double depth) {
  const double phase = uniform(0.0, kTau);
  for (std::size_t n = 0; n < samples.size(); ++n)
    samples[n] *=
        static_cast<float>(1.0 + depth * std::sin(kTau * rate_hz * static_cast<double>(n) / sample_rate_hz + phase));
  return *this;
}

Scene& Scene::hiss(double rms, double from_s, double to_s) {
  const std::size_t last = index(to_s);
  for (std::size_t n = index(from_s); n < last; ++n) samples[n] += static_cast<float>(rms * gaussian());
  return *this;
}

// ---- Time that the device adds or loses moves the truth with it --------------------------------------------------

void Scene::lengthen_truth(std::size_t at, std::size_t length) {
  const double per_sample = kCurveRateHz / sample_rate_hz;
  const auto more = static_cast<std::size_t>(std::lround(static_cast<double>(length) * per_sample));
  for (ToneTruth& tone : tones)
    for (std::vector<float>* curve : {&tone.set_hz, &tone.true_hz}) {
      const auto place = std::min(curve->size() - 1, static_cast<std::size_t>(static_cast<double>(at) * per_sample));
      curve->insert(curve->begin() + static_cast<std::ptrdiff_t>(place), more, (*curve)[place]);
    }
}

void Scene::shorten_truth(std::size_t at, std::size_t length) {
  const double per_sample = kCurveRateHz / sample_rate_hz;
  for (ToneTruth& tone : tones)
    for (std::vector<float>* curve : {&tone.set_hz, &tone.true_hz}) {
      const auto first = static_cast<std::size_t>(std::lround(static_cast<double>(at) * per_sample));
      const auto last = static_cast<std::size_t>(std::lround(static_cast<double>(at + length) * per_sample));
      curve->erase(curve->begin() + static_cast<std::ptrdiff_t>(std::min(first, curve->size() - 1)),
                   curve->begin() + static_cast<std::ptrdiff_t>(std::min(last, curve->size() - 1)));
    }
}

}  // namespace four76::scenes
