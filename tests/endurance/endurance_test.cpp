// Twenty minutes of what four76_endurance does for twelve hours.
#include <gtest/gtest.h>

#include "tests/endurance/ordeal.hpp"
#include "web/platform/steady_clock.hpp"

namespace four76::test {
namespace {

// Sanitizers take ten times as long: one round shows them every fault.
#if defined(FOUR76_SANITIZED)
constexpr double kSeconds = 60.0;
#else
constexpr double kSeconds = 20.0 * 60.0;
#endif
// Texts differ in length by what they say: a leak of a reading or a block is more than this.
constexpr std::size_t kTexts_bytes = 2048;

TEST(Endurance, GoesThroughEveryFaultAndHoldsNoMoreMemory) {
  const OrdealFigures figures = go_through({.seconds = kSeconds, .quiet_s = 4.0, .seed = 7});
  EXPECT_TRUE(figures.complaints.empty()) << figures.complaints.front() << "; in all " << figures.complaint_count;
  EXPECT_LE(figures.most_held_bytes, figures.held_bytes + kTexts_bytes);
  EXPECT_GE(figures.visits, figures.rounds);
  for (const FaultFigures& fault : figures.faults) EXPECT_EQ(fault.times, figures.rounds) << fault.name;
}

TEST(SteadyClock, NeverGoesBackAndCountsOnFromWhereItStood) {
  SteadyClock clock;
  EXPECT_EQ(clock.tell(100.0), 100.0);
  EXPECT_EQ(clock.tell(101.0), 101.0);
  EXPECT_EQ(clock.tell(1.0), 101.0);
  EXPECT_EQ(clock.tell(2.5), 102.5);
  EXPECT_EQ(clock.tell(1002.5), 1102.5);
}

}  // namespace
}  // namespace four76::test
