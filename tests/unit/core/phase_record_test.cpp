#include "core/tone/phase_record.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <optional>
#include <vector>

#include "core/tone/mean_speed.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

constexpr double kKnotS = 0.01;

// Points of a tone that stands `offset` cycles from the prediction of a loop at 3000 Hz, plus noise on each axis.
template <typename Offset>
std::vector<TrackPoint> points_of(std::size_t count, Offset&& offset, double amplitude, double noise_rms,
                                  std::uint64_t seed = 1) {
  test::Noise noise(seed);
  std::vector<TrackPoint> points(count);
  for (std::size_t i = 0; i < count; ++i) {
    const double t = static_cast<double>(i) / 1000.0;
    const std::complex<double> clean = std::polar(amplitude, test::kTwoPi * offset(t));
    points[i] = {t, 3000.0 * t,
                 std::complex<float>(clean + std::complex<double>(noise_rms * noise(), noise_rms * noise()))};
  }
  return points;
}

std::vector<PhaseKnot> build(const std::vector<TrackPoint>& points) {
  KnotBuilder builder(1000.0);
  std::vector<PhaseKnot> knots;
  for (const auto& point : points)
    if (builder.add(point)) knots.push_back(builder.knot());
  return knots;
}

TEST(KnotBuilder, IsTheMiddleOfTenMilliseconds) {
  const auto knots = build(points_of(
      1000, [](double) { return 0.1; }, 0.2, 0.0));
  ASSERT_EQ(knots.size(), 100u);
  EXPECT_NEAR(knots[3].span_s, kKnotS, 1e-12);
  EXPECT_NEAR(knots[3].time_s, 0.0345, 1e-9);
  EXPECT_NEAR(knots[3].phase_cycles, 3000.0 * 0.0345 + 0.1, 1e-6);
  EXPECT_NEAR(static_cast<double>(knots[3].amplitude), 0.2, 1e-6);
  EXPECT_LT(knots[3].scatter, 1e-9F);
  EXPECT_TRUE(knots[3].valid);
}

TEST(KnotBuilder, MeasuresTheScatterOfItsPoints) {
  const auto knots = build(points_of(
      20000, [](double) { return 0.3; }, 0.2, 0.02, 5));
  double mean = 0.0;
  for (const auto& knot : knots) mean += static_cast<double>(knot.scatter) / static_cast<double>(knots.size());
  EXPECT_NEAR(mean, 0.01, 0.0005);  // (0.02 / 0.2)^2
}

// That the points break is told of the knot, and of it alone; its level may be read all the same.
TEST(KnotBuilder, SaysWhereThePointsBreak) {
  const auto knots = build(points_of(
      2000, [](double t) { return t < 1.0 ? 0.1 : 0.35; }, 0.2, 0.002, 3));
  std::vector<double> broken_s;
  for (const auto& knot : knots) {
    EXPECT_TRUE(knot.level_valid);
    if (knot.broken) broken_s.push_back(knot.time_s);
  }
  ASSERT_EQ(broken_s.size(), 1u);
  EXPECT_NEAR(broken_s[0], 1.0, 1.6 * kKnotS);
}

// Where the loop lags by more than half a cycle, the tone's phase still goes on.
TEST(KnotBuilder, CarriesThePhasePastHalfACycle) {
  const auto slip = [](double t) { return 1.5 * t; };
  const auto knots = build(points_of(1000, slip, 0.2, 0.0));
  for (const auto& knot : knots) ASSERT_NEAR(knot.phase_cycles, 3000.0 * knot.time_s + slip(knot.time_s), 1e-3);
}

TEST(KnotBuilder, StaysFiniteInSilence) {
  for (const auto& knot : build(points_of(
           100, [](double) { return 0.0; }, 0.0, 0.0))) {
    EXPECT_TRUE(std::isfinite(knot.phase_cycles));
    EXPECT_TRUE(std::isfinite(knot.scatter));
  }
}

// ---- StepDetector ------------------------------------------------------------------------------------------------

// White phase noise of one knot: variance of N0/C / (2 span) square radians (derived in mean_speed.hpp).
double knot_noise_cycles(double dbhz) {
  return std::sqrt(std::pow(10.0, -dbhz / 10.0) / (2.0 * kKnotS)) / test::kTwoPi;
}

template <typename Cycles>
std::vector<PhaseKnot> knots_of(Cycles&& cycles, double seconds, double noise_cycles, std::uint64_t seed) {
  test::Noise noise(seed);
  std::vector<PhaseKnot> knots;
  for (double t = kKnotS / 2.0; t < seconds; t += kKnotS) {
    PhaseKnot knot;
    knot.time_s = t;
    knot.span_s = kKnotS;
    knot.phase_cycles = cycles(t) + noise_cycles * noise();
    knot.amplitude = 0.1F;
    knot.scatter = 1e-3F;
    knots.push_back(knot);
  }
  return knots;
}

struct Checked {
  std::vector<PhaseKnot> knots;
  int steps = 0;
};
Checked check(const std::vector<PhaseKnot>& knots) {
  StepDetector detector;
  detector.reset();
  Checked out;
  for (const auto& knot : knots) {
    if (const auto given = detector.add(knot)) out.knots.push_back(*given);
    out.steps += detector.stepped() ? 1 : 0;
  }
  const auto held = detector.held_back();
  out.knots.insert(out.knots.end(), held.begin(), held.end());
  return out;
}

double portable(double t) {  // 0.12 %, 0.10 % and 0.08 % of wow
  return 3010.0 * t + 3000.0 * (0.0012 / (test::kTwoPi * 0.52) * std::sin(test::kTwoPi * 0.52 * t) +
                                0.0010 / (test::kTwoPi * 1.26) * std::sin(test::kTwoPi * 1.26 * t) +
                                0.0008 / (test::kTwoPi * 7.6) * std::sin(test::kTwoPi * 7.6 * t));
}

double slow_wow(double t) {
  return 3010.0 * t + 3000.0 * 0.0015 / (test::kTwoPi * 0.6) * std::sin(test::kTwoPi * 0.6 * t);
}

TEST(StepDetector, GivesBackEveryKnotInOrderAndUnchanged) {
  const auto knots = knots_of(portable, 3.0, 0.0, 1);
  const auto out = check(knots);
  ASSERT_EQ(out.knots.size(), knots.size());
  for (std::size_t i = 0; i < knots.size(); ++i) {
    EXPECT_EQ(out.knots[i].time_s, knots[i].time_s);
    EXPECT_TRUE(out.knots[i].valid);
    EXPECT_EQ(out.knots[i].segment, 0u);
  }
}

// Deleted samples: the phase jumps by tone times lost time, a part of a cycle. 441 samples lost at 48 kHz leave 0.56
// cycles of 3000 Hz; what is left after whole cycles may be anything from -0.5 to 0.5.
template <typename Cycles>
void expect_step_found(Cycles&& machine, double step, double dbhz) {
  const auto cycles = [&](double t) { return machine(t) + (t > 1.5 ? step : 0.0); };
  const auto out = check(knots_of(cycles, 3.0, knot_noise_cycles(dbhz), 2));
  EXPECT_EQ(out.steps, 1) << step << " at " << dbhz;
  int misplaced = 0;  // the change of segment is at the step, within its void knots
  for (const auto& knot : out.knots) {
    const bool near = std::abs(knot.time_s - 1.5) < 0.035;
    const std::uint32_t wanted = knot.time_s > 1.5 ? 1u : 0u;
    if (knot.valid ? knot.segment != wanted : !near) ++misplaced;
  }
  EXPECT_EQ(misplaced, 0) << step << " at " << dbhz;
}

TEST(StepDetector, FindsAStepOfThePhaseAndBeginsANewSegment) {
  for (const double step : {0.2, -0.33, 0.45})
    for (const double dbhz : {50.0, 70.0}) expect_step_found(slow_wow, step, dbhz);
  expect_step_found(slow_wow, 0.1, 70.0);
}

// A capstan's wow bends the phase within the detector's nine knots: smaller steps hide in it, and in the u95.
TEST(StepDetector, FindsALargeStepInAPortablesWow) {
  for (const double step : {-0.33, 0.45})
    for (const double dbhz : {50.0, 70.0}) expect_step_found(portable, step, dbhz);
}

// A turned trimmer: the speed steps, the phase goes on.
TEST(StepDetector, DoesNotTakeAStepOfTheSpeedForOne) {
  for (const double percent : {0.05, 0.3, 1.0, 3.0, -3.0})
    for (const double lag_s : {0.0, 0.08}) {
      const auto cycles = [&](double t) {
        const double s = std::max(0.0, t - 1.503);
        const double moved = lag_s > 0.0 ? s - lag_s * (1.0 - std::exp(-s / lag_s)) : s;
        return portable(t) + 30.0 * percent * moved;
      };
      EXPECT_EQ(check(knots_of(cycles, 3.0, knot_noise_cycles(60.0), 3)).steps, 0) << percent << " lag " << lag_s;
    }
}

TEST(StepDetector, FindsNoneInWowAndNoise) {
  for (const double dbhz : {35.0, 45.0, 60.0, 80.0})
    EXPECT_EQ(check(knots_of(portable, 60.0, knot_noise_cycles(dbhz), 4)).steps, 0) << dbhz;
}

// ---- PhaseRecord -------------------------------------------------------------------------------------------------

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
