#include "core/flutter/void_bridge.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

TEST(VoidBridge, JoinsBothSidesByALine) {
  VoidBridge bridge({1000.0});
  std::vector<BridgedPoint> out;
  for (int n = 0; n < 500; ++n) {
    const bool valid = n < 200 || n >= 260;
    for (const auto& point : bridge.add({valid ? 0.01 * n : 99.0, valid})) out.push_back(point);
  }
  ASSERT_EQ(out.size(), 500U);
  for (int n = 0; n < 500; ++n) {
    EXPECT_NEAR(out[static_cast<std::size_t>(n)].percent, 0.01 * n, 1e-9);
    EXPECT_EQ(out[static_cast<std::size_t>(n)].kind == BridgedPoint::Kind::filled, n >= 200 && n < 260);
  }
}

TEST(VoidBridge, GivesUpAfterASecondAndKeepsEveryPoint) {
  VoidBridge bridge({1000.0});
  test::Noise noise(16);
  std::size_t in = 0;
  std::size_t out = 0;
  std::size_t lost = 0;
  bool valid = true;
  for (int n = 0; n < 100000; ++n) {
    if (noise.uniform() < (valid ? 0.004 : 0.003)) valid = !valid;
    ++in;
    for (const auto& point : bridge.add({1.0, valid})) {
      ++out;
      lost += point.kind == BridgedPoint::Kind::lost;
      EXPECT_TRUE(point.kind == BridgedPoint::Kind::lost || point.percent == 1.0 ||
                  std::abs(point.percent - 1.0) < 1e-9);
    }
    ASSERT_LE(in - out, 1021U);
  }
  EXPECT_GT(lost, 1000U);
}

}  // namespace
}  // namespace four76
