// mirror: what the HTML side shows, as one JSON object for browser::show.
//
// Its fields are those of State in shell/types.d.ts; tests/types_check.mjs sees to it that no key is missing there.
// Each feature writes its own (its `mirror`). The readings carry the names of `four76 measure --json` and `four76 song
// --json`.
#pragma once

#include <string>

#include "web/model.hpp"

namespace four76 {

std::string mirror_json(const Model& model);

// What never changes while the page is open, told once: Words in shell/types.d.ts.
std::string words_json(const Model& model);

}  // namespace four76
