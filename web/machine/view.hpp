// Timed measurements.
#pragma once

#include "web/view.hpp"

namespace four76::views {

Answer measure(const Model& model, const draw::Paper& paper, Rect area);  // half a minute at either end of the tape

}  // namespace four76::views
