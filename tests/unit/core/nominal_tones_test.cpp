#include "core/tone/nominal_tones.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace four76 {
namespace {

// A 3150 Hz tape read as 3000 Hz is +5.00 %, 84.5 cents (sources.md#tones): the trap that this closes.
TEST(NominalTones, SeesA3150TapeReadAs3000AndBack) {
  EXPECT_EQ(other_standard_tone_hz(3150.0, 3000.0), 3150.0);
  EXPECT_EQ(other_standard_tone_hz(3000.0, 3150.0), 3000.0);
  EXPECT_EQ(other_standard_tone_hz(3150.0 * 1.015, 3000.0), 3150.0);  // on a machine that is 1.5 % fast
  EXPECT_EQ(other_standard_tone_hz(3150.0 * 0.985, 3000.0), 3150.0);  // DIN 45500's 1.5 % the other way
}

TEST(NominalTones, TakesAMachineThatIsOffAtItsWord) {
  for (const double nominal_hz : kStandardTonesHz)
    for (const double error : {-0.02, -0.005, 0.0, 0.005, 0.02})
      EXPECT_EQ(other_standard_tone_hz(nominal_hz * (1.0 + error), nominal_hz), std::nullopt)
          << nominal_hz << " " << error;
}

TEST(NominalTones, SeesNeighboursAmongTheLowTones) {
  EXPECT_EQ(other_standard_tone_hz(333.0, 315.0), 333.0);
  EXPECT_EQ(other_standard_tone_hz(440.0, 400.0), 440.0);
  EXPECT_EQ(other_standard_tone_hz(315.0, 333.0), 315.0);
}

TEST(NominalTones, SaysNothingFarFromAnyStandardTone) {
  EXPECT_EQ(other_standard_tone_hz(2700.0, 3000.0), std::nullopt);
  EXPECT_EQ(other_standard_tone_hz(5000.0, 5200.0), std::nullopt);
}

TEST(NominalTones, HoldsTheEightStandardTones) {
  double sum = 0.0;
  for (const double tone_hz : kStandardTonesHz) {
    EXPECT_GE(tone_hz, kLowestNominalHz);
    EXPECT_LE(tone_hz, kHighestNominalHz);
    sum += tone_hz;
  }
  EXPECT_EQ(sum, 3000.0 + 3150.0 + 1000.0 + 440.0 + 400.0 + 333.0 + 315.0 + 6300.0);
}

}  // namespace
}  // namespace four76
