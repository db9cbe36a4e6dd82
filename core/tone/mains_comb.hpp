// Mains comb: harmonics of 50 or 60 Hz standing around the tone in a calibrated spectrum.
//
// The interference found line by line stands beside the tone; where hum is as strong as the tone or stronger, the tone
// itself cannot be followed, and only the comb as a whole shows what it is.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

namespace four76 {

inline constexpr std::size_t kMostHarmonics = 220;  // of 50 Hz within +-50 % of 10 kHz

// `power` is a spectrum from 0 Hz on. True where most harmonics of 50 or 60 Hz within +-50 % of the nominal, the tone
// itself left out, stand 8 dB above what lies between them. False where the bins are too wide to tell. `scratch` holds
// kMostHarmonics values.
bool has_comb(std::span<const float> power, double bin_hz, double nominal_hz, std::optional<double> tone_hz,
              std::span<float> scratch) noexcept;

}  // namespace four76
