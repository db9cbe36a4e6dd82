// Rooms: discrete echoes, and tails of Gaussian noise that decay exponentially, the treble sooner.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "tests/scenes/convolve.hpp"
#include "tests/scenes/scene.hpp"

namespace four76::scenes {

namespace {
constexpr double kTau = 2.0 * std::numbers::pi;
constexpr double kDampingCornerHz = 2000.0;  // above it the walls take more; common practice
}  // namespace

Scene& Scene::echo(double delay_s, double gain) {
  const std::size_t delay = index(delay_s);
  for (std::size_t n = samples.size(); n-- > delay;) samples[n] += static_cast<float>(gain) * samples[n - delay];
  return *this;
}

Scene& Scene::room(double rt60_s, double direct_to_reverberant_db, double damping) {
  const auto length = static_cast<std::size_t>(rt60_s * sample_rate_hz);
  const auto gap = static_cast<std::size_t>(uniform(0.001, 0.015) * sample_rate_hz);  // to the first wall and back
  const double pole = 1.0 - std::exp(-kTau * kDampingCornerHz / sample_rate_hz);
  std::vector<double> response(gap + length);
  double low = 0.0;
  double square = 0.0;
  for (std::size_t n = 0; n < length; ++n) {
    const double white = gaussian();
    low += pole * (white - low);
    const double x = static_cast<double>(n) / static_cast<double>(length);
    const double tail = from_db(-60.0 * x) * low + from_db(-60.0 * x / damping) * (white - low);
    response[gap + n] = tail;
    square += tail * tail;
  }
  const double scale = from_db(-direct_to_reverberant_db) / std::sqrt(square);
  for (double& tap : response) tap *= scale;
  response[0] += 1.0;
  samples = convolve(samples, response);
  return *this;
}

}  // namespace four76::scenes
