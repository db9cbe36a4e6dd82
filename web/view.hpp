// views: what each part of the instrument draws. A view is a function of the model and its rectangle; it changes
// nothing and answers with what the person asked for, if anything. One source file each; a feature's are declared in
// its view.hpp.
#pragma once

#include <optional>

#include "web/draw/paper.hpp"
#include "web/intent.hpp"
#include "web/model.hpp"
#include "web/place/layout.hpp"

namespace four76::views {

using Answer = std::optional<Intent>;

}  // namespace four76::views
