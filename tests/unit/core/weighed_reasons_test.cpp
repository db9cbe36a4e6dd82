#include "core/tone/weighed_reasons.hpp"

#include <gtest/gtest.h>

#include <vector>

namespace four76 {
namespace {

std::vector<Reason> listed(const WeighedReasons& reasons) {
  const ReasonList list = reasons.sorted();
  return {list.begin(), list.end()};
}

TEST(WeighedReasons, ListTheWeightiestFirst) {
  WeighedReasons reasons;
  EXPECT_TRUE(reasons.empty());
  reasons.add(Reason::tape_dropout, 0.001);
  reasons.add(Reason::mains_hum, 0.2);
  reasons.add(Reason::clipping, 0.01);
  reasons.add(Reason::mains_hum, 0.0001);  // the larger cost stands
  EXPECT_FALSE(reasons.empty());
  EXPECT_EQ(listed(reasons), (std::vector{Reason::mains_hum, Reason::clipping, Reason::tape_dropout}));
}

TEST(WeighedReasons, PutWhatDecidesBeforeWhatCosts) {
  WeighedReasons reasons;
  reasons.add(Reason::wrong_tone, kDecisive);
  reasons.decide(Reason::too_quiet);
  reasons.add(Reason::room_noise, 5.0);
  reasons.decide(Reason::too_short);
  EXPECT_EQ(listed(reasons),
            (std::vector{Reason::too_short, Reason::too_quiet, Reason::wrong_tone, Reason::room_noise}));
}

}  // namespace
}  // namespace four76
