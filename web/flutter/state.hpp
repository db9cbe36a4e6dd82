// View: what the instrument shows while there is a signal.
#pragma once

#include <cstdint>

namespace four76 {

enum class View : std::uint8_t { speed, flutter };

}  // namespace four76
