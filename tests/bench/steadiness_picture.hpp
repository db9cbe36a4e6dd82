// What the dial shows while the trimmer is turned on a machine that wows, beside a plain reading that follows as fast.
#pragma once

#include <cstdint>
#include <string>

namespace four76::bench {

std::string steadiness_picture(std::uint64_t seed);

}  // namespace four76::bench
