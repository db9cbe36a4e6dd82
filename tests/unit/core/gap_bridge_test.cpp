#include "core/tone/gap_bridge.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

constexpr double kKnotS = 0.01;

// Knots of a tone at `hz(t)`, void from `from` to `to` (indices), with `slip` cycles more behind the gap, as a builder
// that lost count in the noise would give them.
template <typename Hz>
std::vector<PhaseKnot> knots_with_gap(Hz&& hz, std::size_t count, std::size_t from, std::size_t to, double slip) {
  std::vector<PhaseKnot> knots(count);
  double cycles = 0.0;
  for (std::size_t i = 0; i < count; ++i) {
    const double t = static_cast<double>(i) * kKnotS;
    cycles += hz(t) * kKnotS;
    knots[i] = {.time_s = t, .span_s = kKnotS, .phase_cycles = cycles + (i >= to ? slip : 0.0), .amplitude = 0.1F};
    knots[i].valid = i < from || i >= to;
  }
  return knots;
}

std::vector<PhaseKnot> bridged(const std::vector<PhaseKnot>& knots, std::size_t lost_at = 1u << 30) {
  GapBridge bridge;
  std::vector<PhaseKnot> out;
  for (std::size_t i = 0; i < knots.size(); ++i)
    for (const PhaseKnot& ready : bridge.add(knots[i], i == lost_at)) out.push_back(ready);
  return out;
}

const auto steady = [](double) { return 3000.0; };
const auto wowing = [](double t) { return 3000.0 + 4.0 * std::sin(test::kTwoPi * 7.6 * t); };

TEST(GapBridge, PassesOnWhatHasNoGap) {
  const auto in = knots_with_gap(wowing, 200, 300, 300, 0.0);
  const auto out = bridged(in);
  ASSERT_EQ(out.size(), in.size());
  for (std::size_t i = 0; i < in.size(); ++i) {
    EXPECT_EQ(out[i].phase_cycles, in[i].phase_cycles);
    EXPECT_EQ(out[i].segment, out[0].segment);
    EXPECT_TRUE(out[i].valid);
  }
}

// However many whole cycles were lost count of in the gap, the speed says how many there were.
TEST(GapBridge, PutsBackWholeCyclesLostInAShortGap) {
  for (const double slip : {-7.0, -1.0, 0.0, 1.0, 12.0})
    for (const std::size_t length : {1u, 3u, 5u}) {
      const auto truth = knots_with_gap(wowing, 300, 150, 150 + length, 0.0);
      const auto out = bridged(knots_with_gap(wowing, 300, 150, 150 + length, slip));
      ASSERT_EQ(out.size(), truth.size());
      EXPECT_EQ(out.back().segment, out.front().segment) << slip << " cycles in " << length << " knots";
      EXPECT_NEAR(out.back().phase_cycles, truth.back().phase_cycles, 1e-6) << slip << ", " << length;
      EXPECT_FALSE(out[150].valid);
    }
}

TEST(GapBridge, BeginsASegmentWhereSamplesWereLost) {
  const auto out = bridged(knots_with_gap(steady, 300, 150, 153, 0.0), 151);
  EXPECT_NE(out.back().segment, out.front().segment);
}

TEST(GapBridge, BeginsASegmentWhereThePhaseDoesNotFit) {
  const auto out = bridged(knots_with_gap(steady, 300, 150, 153, 0.4));
  EXPECT_NE(out.back().segment, out.front().segment);
}

TEST(GapBridge, BeginsASegmentBehindALongGap) {
  const auto out = bridged(knots_with_gap(steady, 400, 150, 180, 0.0));
  EXPECT_NE(out.back().segment, out.front().segment);
}

// Where the wow could have gone any way within the gap, nothing is claimed.
TEST(GapBridge, BeginsASegmentWhereWowHidesTheCycles) {
  const auto wild = [](double t) { return 3000.0 + 60.0 * std::sin(test::kTwoPi * 7.6 * t); };
  const auto out = bridged(knots_with_gap(wild, 300, 150, 156, 0.0));
  EXPECT_NE(out.back().segment, out.front().segment);
}

TEST(GapBridge, GivesBackWhatItHoldsWhenTheToneEnds) {
  GapBridge bridge;
  auto knots = knots_with_gap(steady, 60, 50, 55, 0.0);
  std::size_t given = 0;
  for (std::size_t i = 0; i < 56; ++i) given += bridge.add(knots[i], false).size();
  EXPECT_EQ(given, 55u);  // one knot behind the gap waits for the next
  const auto rest = bridge.end();
  ASSERT_EQ(rest.size(), 1u);
  EXPECT_FALSE(rest[0].valid);
  const auto segment = rest[0].segment;
  const auto next = bridge.add(knots[57], false);
  ASSERT_EQ(next.size(), 1u);
  EXPECT_NE(next[0].segment, segment);
}

}  // namespace
}  // namespace four76
