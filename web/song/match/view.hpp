// How a tape runs along its song.
#pragma once

#include "web/view.hpp"

namespace four76::views {

Answer alignment(const Model& model, const draw::Paper& paper, Rect area);  // of a file

}  // namespace four76::views
