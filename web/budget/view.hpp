// The possible error, term by term.
#pragma once

#include "web/view.hpp"

namespace four76::views {

Answer budget(const Model& model, const draw::Paper& paper, Rect area);  // how far off it may be in all

}  // namespace four76::views
