// FigureText: numbers as people read them: so many digits that count, and no zeros that say nothing.
#pragma once

#include <string>

namespace four76 {

// "0.62", "7.6", "123": at least that many digits that count, the whole part never rounded. "0" where not finite.
[[nodiscard]] std::string rounded(double value, int digits);
// "40 seconds", "2.5 minutes", "1 minute".
[[nodiscard]] std::string duration_text(double seconds);

}  // namespace four76
