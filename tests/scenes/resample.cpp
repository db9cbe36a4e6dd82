#include "tests/scenes/resample.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace four76::scenes {

namespace {

constexpr double kCrossings = 16.0;  // on either side
constexpr int kPerCrossing = 512;    // of the table; the nearest entry is -60 dB exact, quieter than what is filtered

std::vector<float> make_table() {
  std::vector<float> table(static_cast<std::size_t>(kCrossings) * kPerCrossing + 1);
  for (std::size_t i = 0; i < table.size(); ++i) {
    const double x = static_cast<double>(i) / kPerCrossing;
    const double sinc = i == 0 ? 1.0 : std::sin(std::numbers::pi * x) / (std::numbers::pi * x);
    table[i] = static_cast<float>(sinc * (0.5 + 0.5 * std::cos(std::numbers::pi * x / kCrossings)));
  }
  return table;
}

// `cut`: the corner as a share of half the input's rate.
std::vector<float> filter(const std::vector<float>& in, double step, double cut) {
  static const std::vector<float> table = make_table();
  std::vector<float> out(static_cast<std::size_t>(static_cast<double>(in.size()) / step));
  const double reach = kCrossings / cut;
  for (std::size_t n = 0; n < out.size(); ++n) {
    const double centre = static_cast<double>(n) * step;
    const auto first = static_cast<std::size_t>(std::max(0.0, std::ceil(centre - reach)));
    const auto last = std::min(in.size() - 1, static_cast<std::size_t>(centre + reach));
    float sum = 0.0F;
    for (std::size_t k = first; k <= last; ++k) {
      const double away = std::abs(static_cast<double>(k) - centre) * cut * kPerCrossing;
      sum += in[k] * table[std::min(table.size() - 1, static_cast<std::size_t>(away + 0.5))];
    }
    out[n] = sum * static_cast<float>(cut);
  }
  return out;
}

}  // namespace

std::vector<float> resample(const std::vector<float>& in, double in_hz, double out_hz) {
  return filter(in, in_hz / out_hz, 0.9 * std::min(1.0, out_hz / in_hz));
}

std::vector<float> low_pass(const std::vector<float>& in, double rate_hz, double corner_hz) {
  return filter(in, 1.0, std::min(1.0, 2.0 * corner_hz / rate_hz));
}

}  // namespace four76::scenes
