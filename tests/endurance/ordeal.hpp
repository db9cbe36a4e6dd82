// Ordeal: hours of a tape that plays, faster than real time, with every fault again and again. What is asked of the
// page: it says what is wrong or goes on by itself, never shows a wrong number as a good one, is right again soon
// after, keeps only what is true, and holds no more memory in the end than in the beginning.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace four76::test {

struct OrdealConfig {
  double seconds = 12.0 * 3600.0;  // of tape; the round that is under way then is finished
  double quiet_s = 12.0;           // between a fault's mending and the next one
  std::uint64_t seed = 1;
};

struct FaultFigures {
  std::string_view name;
  int times = 0;
  double slowest_s = 0.0;  // from its end to a good reading, at worst
};

struct OrdealFigures {
  double seconds = 0.0;
  int rounds = 0;
  std::vector<FaultFigures> faults;
  long good_readings = 0;
  double longest_wrong_s = 0.0;         // that a good reading was a wrong one: a fault has to be heard to be known
  int visits = 0;                       // that were kept
  std::size_t held_bytes = 0;           // at the end of the second round
  std::size_t most_held_bytes = 0;      // at the end of any later one
  std::vector<std::string> complaints;  // the first few; a run is well where there is none
  std::size_t complaint_count = 0;
};

[[nodiscard]] OrdealFigures go_through(const OrdealConfig& config);

}  // namespace four76::test
