#include "core/bench/tape_vote.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/statistics.hpp"

namespace four76 {
namespace {

constexpr double kApart = 3.5;
constexpr double kOfMad = 1.4826;
constexpr double kNormal95 = 1.96;
constexpr double kOfMedian = 1.2533;  // the median's scatter to the mean's, of normal values: sqrt(pi / 2) (derived)

// Half way between the two middle ones of an even count: two tapes must weigh alike.
double middle_of(std::vector<double> values) {
  const double lower = median_of(values);
  for (double& value : values) value = -value;
  return 0.5 * (lower - median_of(values));
}

double scatter_of(const std::vector<double>& values, double median) {
  std::vector<double> off;
  for (const double value : values) off.push_back(std::fabs(value - median));
  return kOfMad * middle_of(off);
}

double floored(double scatter) { return std::max(scatter, kLeastTapeScatter_percent); }

void part(std::span<const TapeVote> votes, TapeVotes& counted) {
  const double s = floored(*counted.spread_percent);
  for (std::size_t i = 0; i < votes.size(); ++i) {
    const double limit = kApart * std::hypot(s, votes[i].u95_percent / kNormal95);
    const bool off = std::fabs(votes[i].speed_error_percent - *counted.median_percent) > limit;
    (off ? counted.apart : counted.agreeing).push_back(i);
  }
}

VoteVerdict verdict_of_two(std::span<const TapeVote> votes) {
  const double alike = kNormal95 * std::sqrt(2.0) * kLeastTapeScatter_percent;
  const double limit = std::hypot(alike, votes[0].u95_percent, votes[1].u95_percent);
  const double apart = std::fabs(votes[0].speed_error_percent - votes[1].speed_error_percent);
  return apart <= limit ? VoteVerdict::two_agree : VoteVerdict::two_differ;
}

void name_machine(std::span<const TapeVote> votes, TapeVotes& counted) {
  std::vector<double> values;
  double own = 0.0;  // the measurements' own, as their mean square
  for (const std::size_t i : counted.agreeing) {
    values.push_back(votes[i].speed_error_percent);
    own += votes[i].u95_percent * votes[i].u95_percent;
  }
  const auto n = static_cast<double>(values.size());
  counted.machine_percent = middle_of(values);
  const double s = floored(scatter_of(values, *counted.machine_percent));
  const double of_tapes = student_t95(n - 1.0) * kOfMedian * s / std::sqrt(n);
  counted.machine_u95_percent = std::hypot(of_tapes, std::sqrt(own) / n);
}

}  // namespace

TapeVotes count_votes(std::span<const TapeVote> votes) {
  TapeVotes counted;
  if (votes.empty()) return counted;
  std::vector<double> values;
  for (const TapeVote& vote : votes) values.push_back(vote.speed_error_percent);
  counted.median_percent = middle_of(values);
  counted.verdict = VoteVerdict::one;
  if (votes.size() == 1) return counted;
  counted.spread_percent = scatter_of(values, *counted.median_percent);
  if (votes.size() == 2) {
    counted.verdict = verdict_of_two(votes);
    return counted;
  }
  if (*counted.spread_percent > kMostTapeScatter_percent) {
    counted.verdict = VoteVerdict::scattered;
    return counted;
  }
  part(votes, counted);
  const bool most = 2 * counted.agreeing.size() > votes.size();
  if (!most) {
    counted.verdict = VoteVerdict::scattered;
    counted.agreeing.clear();
    counted.apart.clear();
    return counted;
  }
  counted.verdict = counted.agreeing.size() >= 3 ? VoteVerdict::machine : VoteVerdict::two_of_three;
  name_machine(votes, counted);
  return counted;
}

}  // namespace four76
