// The line through a track's leads on leads that are drawn: its slope and whether its u95 is as wide as it must be.
#include "core/song/lead_line.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>
#include <vector>

namespace four76 {
namespace {

constexpr double kStep_s = 0.1;

struct Course {
  double seconds = 40.0;
  double slope = 0.003;
  double noise_s = 0.0001;    // of a window, which the next three points share
  double wow_percent = 0.2;   // peak, at 0.5 to 3 Hz
  double slow_percent = 0.0;  // peak of what turns once in 20 to 60 s
  std::vector<double> cuts_s = {};
  double held = 0.9;  // of the points
};

std::vector<LeadPoint> leads_of(const Course& course, std::mt19937_64& random) {
  std::normal_distribution<> gaussian;
  std::uniform_real_distribution<> uniform(0.0, 1.0);
  const double tau = 2.0 * std::numbers::pi;
  const double rate_hz = 0.5 + 2.5 * uniform(random), phase = tau * uniform(random);
  const double slow_hz = 1.0 / (20.0 + 40.0 * uniform(random)), slow_phase = tau * uniform(random);
  std::array<double, 4> shared{gaussian(random), gaussian(random), gaussian(random), gaussian(random)};
  std::vector<LeadPoint> points;
  for (double t = 0.2; t < course.seconds; t += kStep_s) {
    shared = {shared[1], shared[2], shared[3], gaussian(random)};
    int piece = 0;
    for (const double cut_s : course.cuts_s) piece += t > cut_s ? 1 : 0;
    const double noise = 0.5 * (shared[0] + shared[1] + shared[2] + shared[3]);
    const double wow_s = course.wow_percent / 100.0 / (tau * rate_hz) * std::sin(tau * rate_hz * t + phase) +
                         course.slow_percent / 100.0 / (tau * slow_hz) * std::sin(tau * slow_hz * t + slow_phase);
    if (uniform(random) < course.held)
      points.push_back({t, 20.0 + 1.7 * piece + course.slope * t + wow_s + course.noise_s * noise, piece});
  }
  return points;
}

struct Shares {
  double covered = 0.0, rms_of_u95 = 0.0;
};

Shares shares_of(const Course& course, std::uint64_t seed) {
  constexpr int kTimes = 300;
  std::mt19937_64 random(seed);
  Shares shares;
  for (int i = 0; i < kTimes; ++i) {
    auto points = leads_of(course, random);
    const LeadLine line = line_through(points);
    const double ratio = (line.slope - course.slope) / line.slope_u95;
    shares.covered += std::abs(ratio) <= 1.0 ? 1.0 / kTimes : 0.0;
    shares.rms_of_u95 += ratio * ratio / kTimes;
  }
  shares.rms_of_u95 = std::sqrt(shares.rms_of_u95);
  return shares;
}

TEST(LeadLine, IsExactWhereNothingElseIs) {
  std::mt19937_64 random(1);
  auto points = leads_of({.noise_s = 0.0, .wow_percent = 0.0, .cuts_s = {13.0, 27.0}}, random);
  const LeadLine line = line_through(points);
  EXPECT_NEAR(line.slope, 0.003, 1e-12);
  EXPECT_LT(line.slope_u95, 1e-9);
  ASSERT_EQ(line.offset_s.size(), 3u);
  EXPECT_NEAR(line.offset_s[2] - line.slope * line.middle_s[2], 20.0 + 2.0 * 1.7, 1e-9);
}

// 300 draws know a share of 95 % to 1.3 %, and 0.50, which Student's t for eight degrees makes, to 5 % (derived).
TEST(LeadLine, HasAU95AsWideAsNoiseMakesIt) {
  for (const Course& course : {Course{.wow_percent = 0.0}, Course{.seconds = 30.0, .wow_percent = 0.0, .held = 0.5},
                               Course{.wow_percent = 0.0, .cuts_s = {11.0, 29.0}}}) {
    const Shares shares = shares_of(course, 21);
    EXPECT_GT(shares.covered, 0.92);
    EXPECT_LT(shares.covered, 0.98);
    EXPECT_GT(shares.rms_of_u95, 0.44);
    EXPECT_LT(shares.rms_of_u95, 0.58);
  }
}

// Wow that comes again and again bends the slope by its part-turns at the two ends alone: of five times the noise, less
// than the noise itself (derived: a spherical Bessel function of 100).
TEST(LeadLine, IsHardlyWidenedByWow) {
  std::mt19937_64 random(5);
  auto calm = leads_of({.wow_percent = 0.0, .held = 1.0}, random);
  auto wowing = calm;
  for (LeadPoint& point : wowing) point.lead_s += 0.0005 * std::sin(2.0 * std::numbers::pi * 0.8 * point.tape_s);
  const double u95 = line_through(calm).slope_u95;
  EXPECT_LT(line_through(wowing).slope_u95, 2.0 * u95);
  for (const Course& course : {Course{}, Course{.seconds = 30.0, .wow_percent = 0.5, .cuts_s = {14.0}}})
    EXPECT_GT(shares_of(course, 22).covered, 0.925);
}

// What turns once in 20 to 60 s cannot be told from the slope of 40 s: it widens it, though not to all of 95 %.
TEST(LeadLine, IsWidenedByWhatTurnsOnceOverTheTape) {
  const Shares shares = shares_of({.slow_percent = 0.05}, 23);
  EXPECT_GT(shares.covered, 0.80);
  EXPECT_LT(shares.rms_of_u95, 0.85);
}

// A note is as good a period of its pitch away: the track slipped at 17 s and stayed there.
TEST(LeadLine, StepsOverASlipThatStays) {
  std::mt19937_64 random(9);
  for (const double slip_s : {0.0006, -0.002}) {
    auto points = leads_of({.noise_s = 0.00005, .wow_percent = 0.02}, random);
    for (LeadPoint& point : points) point.lead_s += point.tape_s > 17.0 ? slip_s : 0.0;
    const LeadLine line = line_through(points);
    EXPECT_EQ(line.offset_s.size(), 2u) << slip_s;
    EXPECT_NEAR(line.slope, 0.003, line.slope_u95) << slip_s;
    EXPECT_LT(line.slope_u95, 2e-5) << slip_s;
  }
}

TEST(LeadLine, LeavesOutWhatLiesElsewhere) {
  std::mt19937_64 random(10);
  auto points = leads_of({}, random);
  for (std::size_t i = 0; i < points.size(); i += 5) points[i].lead_s += 0.004;
  const LeadLine line = line_through(points);
  EXPECT_NEAR(line.slope, 0.003, 2e-5);
  EXPECT_EQ(points[5].weight, 0.0);
}

}  // namespace
}  // namespace four76
