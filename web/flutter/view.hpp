// Wow and flutter.
#pragma once

#include "web/view.hpp"

namespace four76::views {

Answer flutter(const Model& model, const draw::Paper& paper, Rect area);  // the figures
Answer rates(const Model& model, const draw::Paper& paper, Rect area);    // at which rates the speed wavers

}  // namespace four76::views
