// The demo's screw.
#pragma once

#include "web/view.hpp"

namespace four76::views {

Answer trimmer(const Model& model, const draw::Paper& paper, Rect area);  // turned by hand or by its buttons

}  // namespace four76::views
