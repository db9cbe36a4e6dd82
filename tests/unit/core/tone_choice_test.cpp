#include "core/tone/tone_choice.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

namespace four76 {
namespace {

struct Part {
  double hz, seconds;
};

std::vector<PhaseKnot> knots_of(const std::vector<Part>& parts) {
  std::vector<PhaseKnot> knots;
  double t = 0.005;
  double cycles = 0.0;
  for (const Part& part : parts)
    for (int i = 0; i < static_cast<int>(part.seconds * 100.0); ++i) {
      PhaseKnot knot;
      knot.time_s = t;
      knot.span_s = 0.01;
      knot.phase_cycles = cycles;
      knot.amplitude = 0.1F;
      knots.push_back(knot);
      t += 0.01;
      cycles += 0.01 * part.hz;
    }
  return knots;
}

double kept_s(const std::vector<PhaseKnot>& knots, double from_s, double to_s) {
  return 0.01 * static_cast<double>(std::count_if(knots.begin(), knots.end(), [&](const PhaseKnot& k) {
           return k.valid && k.time_s >= from_s && k.time_s < to_s;
         }));
}

std::vector<PhaseKnot> chosen_from(const std::vector<Part>& parts, double nominal_hz) {
  auto knots = knots_of(parts);
  ToneChoice(knots.size()).keep_one(knots, nominal_hz);
  return knots;
}

TEST(ToneChoice, KeepsAllOfOneTone) { EXPECT_NEAR(kept_s(chosen_from({{3021.0, 3.0}}, 3000.0), 0.0, 3.0), 3.0, 0.02); }

TEST(ToneChoice, LeavesOutTheToneBeforeTheOneAskedFor) {
  const auto knots = chosen_from({{2700.0, 2.0}, {3021.0, 4.0}}, 3000.0);
  EXPECT_LT(kept_s(knots, 0.0, 1.9), 0.02);
  EXPECT_GT(kept_s(knots, 2.1, 6.0), 3.8);
}

// Of 3000 and 3150 Hz in a row, each is kept where it is asked for.
TEST(ToneChoice, KeepsTheStandardToneThatIsAskedFor) {
  for (const double nominal_hz : {3000.0, 3150.0}) {
    const auto knots = chosen_from({{3000.0, 3.0}, {3150.0, 3.0}}, nominal_hz);
    EXPECT_GT(kept_s(knots, 0.0, 2.9) > 2.0 ? 3000.0 : 3150.0, nominal_hz - 1.0);
    EXPECT_LT(std::min(kept_s(knots, 0.0, 2.9), kept_s(knots, 3.1, 6.0)), 0.05) << nominal_hz;
  }
}

// A trimmer turned by 3 % is one tone whose speed has changed.
TEST(ToneChoice, KeepsBothSidesOfATurnOfTheScrew) {
  const auto knots = chosen_from({{2950.0, 3.0}, {3040.0, 3.0}}, 3000.0);
  EXPECT_GT(kept_s(knots, 0.0, 6.0), 5.9);
}

// The phase does not carry across what was taken out.
TEST(ToneChoice, BeginsANewSegmentBehindWhatItTookOut) {
  const auto knots = chosen_from({{3000.0, 2.0}, {2600.0, 1.0}, {3000.0, 2.0}}, 3000.0);
  EXPECT_NE(knots[100].segment, knots[400].segment);
  EXPECT_EQ(knots[50].segment, knots[150].segment);
}

TEST(ToneChoice, HasNothingToSayOfNothing) {
  std::vector<PhaseKnot> none;
  ToneChoice(16).keep_one(none, 3000.0);
  auto few = knots_of({{3000.0, 0.05}});  // too short to know its frequency
  ToneChoice(16).keep_one(few, 3000.0);
  EXPECT_EQ(kept_s(few, 0.0, 1.0), 0.0);
}

}  // namespace
}  // namespace four76
