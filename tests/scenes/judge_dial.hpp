// Judges a row of the live dial. Two readings of "true" are honoured: the speeds that were set while its window lasted,
// for a hand on the screw; and the true mean over that window, wow and all. A row is off when it is off from both.
#pragma once

#include "core/reading.hpp"
#include "tests/scenes/scene.hpp"
#include "tests/scenes/score.hpp"

namespace four76::scenes {

void judge_dial(const Scene& scene, const Reading& dial, Score& score);

}  // namespace four76::scenes
