// Nominal tones: the frequencies that speed tapes carry.
//
// 3150 Hz: IEC 60386 and AES6-2008; 3000 Hz: common practice on many service tapes; 1000, 440, 400, 333, 315 and
// 6300 Hz: level, alignment and tuning tones that are also found on test tapes (common practice).
#pragma once

#include <array>
#include <optional>

namespace four76 {

inline constexpr std::array<double, 8> kStandardTonesHz = {3000.0, 3150.0, 1000.0, 440.0, 400.0, 333.0, 315.0, 6300.0};
inline constexpr double kLowestNominalHz = 100.0;
inline constexpr double kHighestNominalHz = 10000.0;

// The other standard tone that a reading lies on, if any: 3150 Hz when a tone of 3148 Hz is read as 3000 Hz.
std::optional<double> other_standard_tone_hz(double frequency_hz, double nominal_hz) noexcept;

// The standard tone that explains a reading better than the nominal does: another one that lies nearer, within 2.5 %.
// Between two tones 5 % apart the number alone cannot tell which is on the tape; whoever reads its label can.
std::optional<double> likelier_standard_tone_hz(double frequency_hz, double nominal_hz) noexcept;

}  // namespace four76
