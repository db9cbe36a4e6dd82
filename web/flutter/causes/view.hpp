// What wow and flutter come from.
#pragma once

#include "web/view.hpp"

namespace four76::views {

Answer causes(const Model& model, const draw::Paper& paper, Rect area);  // each with how sure it is

}  // namespace four76::views
