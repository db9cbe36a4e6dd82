// Music of no composer: struck and held notes with harmonics, and a beat.
#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "tests/scenes/scene.hpp"

namespace four76::scenes {

namespace {
constexpr double kTau = 2.0 * std::numbers::pi;
constexpr double kLowestNoteHz = 110.0;  // A2; four octaves up from there
double note_hz(double semitones) { return kLowestNoteHz * std::pow(2.0, std::floor(semitones) / 12.0); }
}  // namespace

void Scene::add_partial(std::vector<double>& to, std::size_t first, std::size_t last, double hz, double amplitude,
                        double decay_per_s) {
  const double edge = 0.005 * sample_rate_hz;
  const std::complex<double> turn = std::polar(std::exp(-decay_per_s / sample_rate_hz), kTau * hz / sample_rate_hz);
  std::complex<double> at = std::polar(amplitude, uniform(0.0, kTau));
  for (std::size_t n = first; n < last; ++n) {
    const auto nearest = static_cast<double>(std::min(n - first, last - 1 - n));
    to[n] += at.imag() * std::min(1.0, nearest / edge);
    at *= turn;
  }
}

void Scene::struck_note(std::vector<double>& to, double at_s) {
  const double hz = note_hz(uniform(0.0, 48.0));
  const double decay = uniform(2.0, 8.0);
  const auto first = std::min(to.size(), static_cast<std::size_t>(at_s * sample_rate_hz));
  const auto last = std::min(to.size(), first + static_cast<std::size_t>(0.9 * sample_rate_hz));
  for (int h = 1; h <= 8 && h * hz < 0.45 * sample_rate_hz; ++h) add_partial(to, first, last, h * hz, 1.0 / h, decay);
}

void Scene::held_note(std::vector<double>& to, double at_s) {
  const double hz = note_hz(uniform(12.0, 48.0));
  const auto first = std::min(to.size(), static_cast<std::size_t>(at_s * sample_rate_hz));
  const auto last = std::min(to.size(), first + static_cast<std::size_t>(uniform(0.3, 2.0) * sample_rate_hz));
  for (int h = 1; h <= 8 && h * hz < 0.45 * sample_rate_hz; ++h) add_partial(to, first, last, h * hz, 0.5 / h, 0.0);
}

void Scene::drum(std::vector<double>& to, double at_s) {
  const auto first = std::min(to.size(), static_cast<std::size_t>(at_s * sample_rate_hz));
  const auto last = std::min(to.size(), first + static_cast<std::size_t>(0.1 * sample_rate_hz));
  for (std::size_t n = first; n < last; ++n)
    to[n] += 0.7 * gaussian() * std::exp(-50.0 * static_cast<double>(n - first) / sample_rate_hz);
}

Scene& Scene::music(double rms, double from_s, double to_s) {
  const std::size_t first = index(from_s);
  std::vector<double> made(index(to_s) - first);
  const double beat_s = uniform(0.2, 0.5);
  const double held = uniform(0.0, 0.6);  // how often a voice holds its note
  for (double t = 0.0; t < to_s - from_s; t += beat_s) {
    for (int voice = 0; voice < 3; ++voice) uniform(0.0, 1.0) < held ? held_note(made, t) : struck_note(made, t);
    drum(made, t);
  }
  mix(made, first, rms);
  return *this;
}

}  // namespace four76::scenes
