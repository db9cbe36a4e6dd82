// The friend's part of update: a link that was opened, the check that it asks for, and a result that came home.
#pragma once

#include <string_view>

#include "web/effect.hpp"
#include "web/model.hpp"

namespace four76 {

Effects open_link(Model& model, std::string_view fragment);  // all of it or nothing
Effects answer_friend(Model& model);
Effects advance_answer(Model& model);
Effects conclude_answer(Model& model);
Effects link_filed(Model& model);

}  // namespace four76
