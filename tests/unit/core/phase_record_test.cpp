#include "core/tone/phase_record.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <optional>
#include <vector>

#include "core/tone/mean_speed.hpp"
#include "tests/unit/core/knot_signals.hpp"

namespace four76 {
namespace {

using test::kKnotS;
using test::knot_noise_cycles;
using test::knots_of;
using test::portable;

TEST(PhaseRecord, KeepsHoursInConstantMemoryAndTheSlope) {
  PhaseRecord record;
  record.reset();
  const auto* const storage = record.knots().data();
  const double hours_s = 3.0 * 3600.0;
  double first_s = -1.0;
  for (double t = kKnotS / 2.0; t < hours_s; t += kKnotS) {
    if (first_s < 0.0) first_s = t;
    PhaseKnot knot;
    knot.time_s = t;
    knot.span_s = kKnotS;
    knot.phase_cycles = portable(t);
    knot.amplitude = 0.1F;
    knot.scatter = 1e-3F;
    record.add(knot);
    ASSERT_LE(record.knots().size(), PhaseRecord::kCapacity);
  }
  EXPECT_EQ(record.knots().data(), storage);
  EXPECT_GE(record.knots().size(), PhaseRecord::kCapacity / 2 - 1);
  double span_s = 0.0;
  for (const auto& knot : record.knots()) span_s += knot.span_s;
  EXPECT_NEAR(span_s, hours_s, 2.0 * span_s / PhaseRecord::kCapacity * 2.0);
  MeanSpeedFit fit;
  const auto mean = fit.fit(record.knots(), 1e-6);
  ASSERT_TRUE(mean);
  EXPECT_NEAR(mean->frequency_hz, 3010.0, 1e-6);
}

// Merged or not, a record says the same, on a tone in noise and on one that wows (where the last, not yet whole knot of
// some 40 ms makes a difference).
TEST(PhaseRecord, MergingMovesTheMeanByLessThanItsUncertainty) {
  const auto steady = [](double t) { return 3010.0 * t; };
  for (const auto& knots :
       {knots_of(steady, 163.85, knot_noise_cycles(60.0), 6), knots_of(portable, 163.85, knot_noise_cycles(60.0), 6)}) {
    PhaseRecord record;
    record.reset();
    for (const auto& knot : knots) record.add(knot);
    ASSERT_LT(record.knots().size(), knots.size());
    MeanSpeedFit fit(knots.size());
    const auto all = fit.fit(knots, 1e-6);
    const auto merged = fit.fit(record.knots(), 1e-6);
    ASSERT_TRUE(all && merged);
    EXPECT_NEAR(merged->frequency_hz, all->frequency_hz, 0.2 * all->u95_hz);
    EXPECT_NEAR(merged->noise_u95_hz / all->noise_u95_hz, 1.0, 0.05);
  }
}

TEST(PhaseRecord, DoesNotJoinSegmentsOrVoidKnots) {
  auto knots = knots_of(portable, 90.0, 0.0, 7);
  for (std::size_t i = 0; i < knots.size(); ++i) {
    knots[i].segment = static_cast<std::uint32_t>(i / 3001);
    knots[i].phase_cycles += 0.37 * static_cast<double>(i / 3001);
    if (i % 500 == 3) {
      knots[i].valid = false;
      knots[i].phase_cycles += 5.0;
    }
  }
  PhaseRecord record;
  record.reset();
  for (const auto& knot : knots) record.add(knot);
  MeanSpeedFit fit;
  const auto mean = fit.fit(record.knots(), 1e-6);
  ASSERT_TRUE(mean);
  EXPECT_NEAR(mean->frequency_hz, 3010.0, 0.01);
  EXPECT_GT(mean->trusted_s, 85.0);
}

TEST(PhaseRecord, IsEmptyAfterReset) {
  PhaseRecord record;
  for (const auto& knot : knots_of(portable, 60.0, 0.0, 8)) record.add(knot);
  record.reset();
  EXPECT_TRUE(record.knots().empty());
}

}  // namespace
}  // namespace four76
