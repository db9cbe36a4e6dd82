// Numbers in words, as pure functions. A number never shows digits that its uncertainty does not support; a speed error
// always shows its sign, with a true minus.
#pragma once

#include <optional>
#include <string>

#include "core/reading.hpp"
#include "web/tone/state.hpp"
#include "web/words/said.hpp"

namespace four76::words {

// Decimals at which the last digit stands where the uncertainty's first one does, 0 to `most`.
[[nodiscard]] int supported_decimals(double u95, int most) noexcept;
[[nodiscard]] std::string fixed(double value, int decimals);         // "-0.0" never appears; U+2212 as minus
[[nodiscard]] std::string signed_fixed(double value, int decimals);  // "+1.82", "−0.05", "0.00" is "±0.00"
[[nodiscard]] std::string plus_minus(double u95, int decimals);      // rounded up, never understated: "±0.04"
[[nodiscard]] std::string percent(double value);                     // a setting: "0.5 %"
[[nodiscard]] std::string hertz(double value);                       // a setting: "3150 Hz", "3003.27 Hz"
[[nodiscard]] std::string tone_heard(double hz);                     // "3012.4 Hz"
[[nodiscard]] std::string kilohertz(double hz);                      // of a sample rate: "44.1 kHz"
// The huge figure of a reading in the chosen unit; nothing where the reading has no number.
[[nodiscard]] std::optional<Figure> figure(const Reading& reading, Unit unit, int percent_decimals);
// The lines under it: what the unit of the figure does not show.
[[nodiscard]] std::string frequency(const Reading& reading);               // "3054.3 Hz"
[[nodiscard]] std::string cents(const Reading& reading);                   // "+31 cents"
[[nodiscard]] std::string speed_error(const Reading& reading);             // "+1.82 %"
[[nodiscard]] std::string uncertainty(const Reading& reading, Unit unit);  // "±0.04 %"
[[nodiscard]] std::string clock_text(double seconds);                      // "3:05"

}  // namespace four76::words
