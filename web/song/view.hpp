// The song bench.
#pragma once

#include "web/view.hpp"

namespace four76::views {

Answer song(const Model& model, const draw::Paper& paper, Rect area);  // what to do and what is known

}  // namespace four76::views
