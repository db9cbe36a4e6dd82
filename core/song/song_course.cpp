#include "core/song/song_course.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/statistics.hpp"

namespace four76 {
namespace {
constexpr double kMostOff = 0.012;  // of the speed: the search steps by 0.5 %
constexpr double kSlopeStep = 0.0001;
constexpr double kSpread_s = 0.015;       // of a stretch's place
constexpr double kSamePlace_s = 0.06;     // 0.5 % wow of 0.2 Hz moves a stretch by so much
constexpr double kLeastAgreement = 0.58;  // chance: 0.5 +- 0.02, the best of fifty 0.55
constexpr std::size_t kMostPlaces = 3;

// At the right slope the leads gather, before an edit in one place and behind it in another; a line through all of them
// would split the difference.
double gathering_slope(std::span<const LaidStretch> stretches) {
  double best = 0.0;
  double most = 0.0;
  for (double slope = -kMostOff; slope <= kMostOff; slope += kSlopeStep) {
    double gathered = 0.0;
    for (std::size_t i = 0; i < stretches.size(); ++i)
      for (std::size_t j = i + 1; j < stretches.size(); ++j) {
        const double apart_s = stretches[j].middle_s - stretches[i].middle_s;
        const double off = (stretches[j].lead_s - stretches[i].lead_s - slope * apart_s) / kSpread_s;
        gathered += std::exp(-0.5 * off * off);
      }
    if (gathered > most) most = gathered, best = slope;
  }
  return best;
}
// The slope that is left within each place, by least squares: the grid's step and the kernel's width cost a half of
// what the stretches know.
double slope_left(std::span<const LaidStretch> stretches, std::span<const double> leads_s) {
  double xx = 1e-9;
  double xy = 0.0;
  for (const double place_s : leads_s) {
    double count = 0.0, middle_s = 0.0, lead_s = 0.0;
    const auto here = [&](const LaidStretch& stretch) { return std::abs(stretch.lead_s - place_s) < kSamePlace_s; };
    for (const LaidStretch& stretch : stretches)
      if (here(stretch)) count += 1.0, middle_s += stretch.middle_s, lead_s += stretch.lead_s;
    for (const LaidStretch& stretch : stretches) {
      if (!here(stretch)) continue;
      const double x = stretch.middle_s - middle_s / count;
      xx += x * x;
      xy += x * (stretch.lead_s - lead_s / count);
    }
  }
  return xy / xx;
}

// Where most stretches are, and up to two places more.
std::vector<double> places_of(std::span<const LaidStretch> stretches, double& agreed) {
  std::vector<double> places;
  agreed = 0.0;
  for (const LaidStretch& centre : stretches) {
    std::vector<double> near;
    double sum = 0.0;
    for (const LaidStretch& stretch : stretches) {
      if (std::abs(stretch.lead_s - centre.lead_s) >= kSamePlace_s) continue;
      near.push_back(stretch.lead_s);
      sum += stretch.agreement - 0.5;
    }
    if (sum > agreed) agreed = sum, places = {median_of(near)};
  }
  for (const LaidStretch& stretch : stretches) {
    const bool known = std::any_of(places.begin(), places.end(),
                                   [&](double lead_s) { return std::abs(lead_s - stretch.lead_s) < kSamePlace_s; });
    if (!known && places.size() < kMostPlaces) places.push_back(stretch.lead_s);
  }
  return places;
}
}  // namespace

SongCourse course_through(std::span<const LaidStretch> stretches) {
  SongCourse course;
  std::vector<LaidStretch> sure;
  for (const LaidStretch& stretch : stretches)
    if (stretch.agreement > kLeastAgreement) sure.push_back(stretch);
  const auto take_out = [&](double slope) {
    course.slope += slope;
    for (LaidStretch& stretch : sure) stretch.lead_s -= slope * stretch.middle_s;
  };
  take_out(gathering_slope(sure));
  double agreed = 0.0;
  take_out(slope_left(sure, places_of(sure, agreed)));
  course.leads_s = places_of(sure, agreed);
  if (!course.leads_s.empty()) course.agreement = 0.5 + agreed / static_cast<double>(stretches.size());
  return course;
}

}  // namespace four76
