#include "core/tapes/lines/comb_follower.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {
constexpr int kReach = 3;               // steps beside where the movement says: 0.15 % in 2 s
constexpr float kBesideCost = 0.5F;     // times the square of the steps: a deviation of one step
constexpr float kKeep = 11.0F / 12.0F;  // of a sum from stretch to stretch: what counts is how much each stretch adds
constexpr float kMinSum = -10.0F;
constexpr float kStandsOut = 3.0F;  // ln of the odds for one harmonic
}  // namespace

CombFollower::CombFollower() : courses_(kSpeeds), before_(kSpeeds) {}

void CombFollower::take(const Scores& scores, double expected_step) noexcept {
  courses_.swap(before_);
  const auto shift = static_cast<int>(std::lround(expected_step / kStep));
  for (int k = 0; k < static_cast<int>(kSpeeds); ++k) {
    const Course* from = nullptr;
    float most = 0.0F;
    for (int beside = -kReach; beside <= kReach; ++beside) {
      const int at = k - shift + beside;
      if (at < 0 || at >= static_cast<int>(kSpeeds)) continue;
      const float worth =
          before_[static_cast<std::size_t>(at)].evidence - kBesideCost * static_cast<float>(beside * beside);
      if (worth <= most) continue;
      most = worth;
      from = &before_[static_cast<std::size_t>(at)];
    }
    Course& course = courses_[static_cast<std::size_t>(k)];
    course = from != nullptr ? *from : Course{};
    extend(course, static_cast<std::size_t>(k), scores);
  }
}

void CombFollower::extend(Course& course, std::size_t at, const Scores& scores) const noexcept {
  course.evidence = 0.0F;
  for (std::size_t h = 0; h < kHarmonics; ++h) {
    course.sums[h] = std::max(kMinSum, kKeep * course.sums[h] + scores[at][h]);
    course.evidence += std::max(0.0F, course.sums[h]);
  }
  const auto total = [&](std::size_t k) {
    float sum = 0.0F;
    for (const float score : scores[k]) sum += std::max(0.0F, score);
    return static_cast<double>(sum);
  };
  double offset = 0.0;
  if (at > 0 && at + 1 < kSpeeds) {
    const double left = total(at - 1), middle = total(at), right = total(at + 1), bend = left - 2.0 * middle + right;
    if (bend < 0.0) offset = std::clamp(0.5 * (left - right) / bend, -0.5, 0.5);
  }
  const double here = log_speed(static_cast<double>(at) + offset), apart = here - course.mean;
  course.count += 1.0;
  course.mean += apart / course.count;
  course.squares += apart * (here - course.mean);
}

std::optional<CombFollower::Comb> CombFollower::best(double least_offset, double largest_offset) const noexcept {
  const Course* best = nullptr;
  for (const Course& course : courses_)
    if (std::abs(course.mean) > least_offset && std::abs(course.mean) <= largest_offset &&
        (best == nullptr || course.evidence > best->evidence))
      best = &course;
  if (best == nullptr || best->count < 1.0) return std::nullopt;
  Comb comb{best->mean, std::sqrt(best->squares / best->count), static_cast<double>(best->evidence), 0, best->count};
  for (const float sum : best->sums) comb.harmonics += sum > kStandsOut;
  return comb;
}

}  // namespace four76
