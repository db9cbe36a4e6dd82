// The reliability diagram as a picture: stated coverage to the right, actual coverage upwards, a curve a kind of scene.
#pragma once

#include <string>
#include <vector>

#include "tests/scenes/reliability.hpp"

namespace four76::bench {

std::string reliability_picture(const std::vector<scenes::Reliability>& curves);

}  // namespace four76::bench
