#include "tests/scenes/no_scale.hpp"

#include <cmath>
#include <numbers>

namespace four76::scenes {

std::vector<float> drums(double seconds, double rate_hz, std::mt19937_64& random) {
  std::vector<float> out(static_cast<std::size_t>(seconds * rate_hz));
  std::normal_distribution<> gaussian;
  std::uniform_real_distribution<> unit;
  for (double at_s = 0.0; at_s < seconds - 1.0; at_s += 0.125 * static_cast<double>(1 + random() % 3)) {
    const double hz = 50.0 + 150.0 * unit(random), falls_s = 0.03 + 0.1 * unit(random), snare = unit(random);
    for (std::size_t n = 0; n < static_cast<std::size_t>(0.5 * rate_hz); ++n) {
      const double t = static_cast<double>(n) / rate_hz;
      const double bent = hz * (t + 0.02 * (1.0 - std::exp(-t / 0.02)));
      out[static_cast<std::size_t>(at_s * rate_hz) + n] +=
          static_cast<float>(0.2 * std::exp(-t / falls_s) *
                             ((1.0 - snare) * std::sin(2.0 * std::numbers::pi * bent) + snare * gaussian(random)));
    }
  }
  return out;
}

std::vector<float> glides(double seconds, double rate_hz, std::mt19937_64& random) {
  std::vector<float> out(static_cast<std::size_t>(seconds * rate_hz));
  std::uniform_real_distribution<> unit;
  for (int voice = 0; voice < 4; ++voice) {
    const double low = 200.0 + 300.0 * unit(random), octaves = 1.0 + unit(random), period_s = 3.0 + 5.0 * unit(random);
    double phase = 0.0;
    for (std::size_t n = 0; n < out.size(); ++n) {
      const double t = static_cast<double>(n) / rate_hz;
      phase += low * std::exp2(octaves * (0.5 + 0.5 * std::sin(2.0 * std::numbers::pi * t / period_s))) / rate_hz;
      for (int order = 1; order <= 4; ++order)
        out[n] += static_cast<float>(0.05 / order * std::sin(2.0 * std::numbers::pi * order * phase));
    }
  }
  return out;
}

}  // namespace four76::scenes
