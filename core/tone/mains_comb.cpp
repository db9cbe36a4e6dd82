#include "core/tone/mains_comb.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {
constexpr double kBand = 0.5;
constexpr double kToneShare = 0.03;  // to either side of the tone, for its wow
constexpr double kToneHz = 15.0;
constexpr std::size_t kLeastHarmonics = 5;
constexpr float kStandsOut = 6.3F;        // 8 dB: two bins of noise over one in the median by 1.5 dB
constexpr double kBinsPerHarmonic = 4.0;  // half-way lies outside Hann's main lobe
}  // namespace

bool has_comb(std::span<const float> power, double bin_hz, double nominal_hz, std::optional<double> tone_hz,
              std::span<float> scratch) noexcept {
  const auto at = [&](double hz) {
    const auto bin = static_cast<std::size_t>(std::lround(hz / bin_hz));
    return bin < power.size() ? power[bin] : 0.0F;
  };
  for (const double mains_hz : {50.0, 60.0}) {
    if (mains_hz < kBinsPerHarmonic * bin_hz) continue;
    std::size_t count = 0;
    const auto last = static_cast<int>((1.0 + kBand) * nominal_hz / mains_hz);
    for (int n = std::max(2, static_cast<int>(std::ceil((1.0 - kBand) * nominal_hz / mains_hz)));
         n <= last && count < scratch.size(); ++n) {
      const double hz = n * mains_hz;
      if (hz + mains_hz > static_cast<double>(power.size()) * bin_hz) break;
      if (tone_hz && std::abs(hz - *tone_hz) < kToneShare * *tone_hz + kToneHz + mains_hz / 2.0) continue;
      const float here = std::max({at(hz - bin_hz / 2.0), at(hz), at(hz + bin_hz / 2.0)});
      const float between = std::max(at(hz - mains_hz / 2.0), at(hz + mains_hz / 2.0));
      scratch[count++] = here / std::max(between, 1e-20F);
    }
    if (count >= kLeastHarmonics && median_of(scratch.first(count)) > kStandsOut) return true;
  }
  return false;
}

}  // namespace four76
