// The RMS error of the reading upon the Cramer-Rao bound, and the ratio of both.
#pragma once

#include <string>

#include "tests/bench/bound.hpp"

namespace four76::bench {

std::string bound_picture(const BoundTable& table, int trials);

}  // namespace four76::bench
