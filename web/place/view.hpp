// The views that never leave, and the ways to begin.
#pragma once

#include "web/view.hpp"

namespace four76::views {

Answer status(const Model& model, const draw::Paper& paper, Rect area);  // what runs, which tone, which tolerance
Answer hint(const Model& model, const draw::Paper& paper, Rect area);    // what to do now
Answer start(const Model& model, const draw::Paper& paper, Rect area);   // ways to begin, while nothing runs

}  // namespace four76::views
