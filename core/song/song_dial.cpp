#include "core/song/song_dial.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {
namespace {
constexpr double kCalmer = 2.0;
constexpr double kLeastMove = 0.0004;  // a smaller one does no harm
constexpr double kMoveSigmas = 2.5;
constexpr double kWowLeft = 0.5;       // of the brief slope's, in the calm one: wow of 0.5 Hz a fifth, of 0.3 Hz a half
constexpr double kKeepUsual = 0.985;   // three seconds
constexpr double kKeepMoving = 0.998;  // else a turn would be the usual at once
constexpr double kMostUsualRate = 0.002;  // farther apart one of them is wrong
constexpr double kMostScatter = 0.003;    // of speed: more is the screw
constexpr double kSurelyTurned = 0.003;   // from the course: more than notes and a portable's wow make of a second
constexpr double kLeftForGood_s = 3.0;    // longer than the calm slope's window: a note's end is over
constexpr double kKeepCourse = 0.995;     // ten seconds
constexpr double kBriefErrs = 2.0;  // as much as the calm one: wow by the window's length, noise by its power of 1.5
constexpr double kLeastU95 = 0.00002;
}  // namespace

// What two slopes that share no sound differ by is what one of them errs by, times the root of two. A turn is no error.
void SongDial::learn_scatter(double calm_speed, bool moves) noexcept {
  double& before = calm_[calm_count_++ % kBack];
  const double apart = calm_speed - before;
  before = calm_speed;
  if (calm_count_ <= kBack || moves || std::abs(apart) > kMostScatter) return;
  scatter_.square = kKeepCourse * scatter_.square + (1.0 - kKeepCourse) * 0.5 * apart * apart;
  scatter_.weight = kKeepCourse * scatter_.weight + (1.0 - kKeepCourse);
}

double SongDial::scatter() const noexcept {
  return scatter_.weight > 0.0 ? std::sqrt(scatter_.square / scatter_.weight) : 0.0;
}

// The screw was turned: what slopes before and behind it differ by is no error.
void SongDial::begin_course(double speed, double time_s) noexcept {
  course_ = speed;
  on_course_at_s_ = time_s;
  scatter_ = scatter_on_course_;
  calm_count_ = 0;
}

void SongDial::follow_course(double brief_speed, double calm_speed, double time_s) noexcept {
  if (!course_ || std::abs(brief_speed - *course_) > kSurelyTurned) begin_course(calm_speed, time_s);
  const double off = calm_speed - *course_;
  if (std::abs(off) < std::max(kLeastMove, kMoveSigmas * scatter())) {
    on_course_at_s_ = time_s;
    scatter_on_course_ = scatter_;
  }
  if (time_s - on_course_at_s_ > kLeftForGood_s) return begin_course(calm_speed, time_s);
  *course_ += (1.0 - kKeepCourse) * off;
}

// Over two seconds a portable's slow wow is a third of what it is over one; a turn of the trimmer is not waited for.
std::optional<SongFollower::Slope> SongDial::steady_slope(const SongFollower& trail, const SongStillness& still,
                                                          double time_s) noexcept {
  const auto brief = trail.slope_of(window_s_, &still);
  const auto calm = trail.slope_of(kCalmer * window_s_, &still);
  if (!brief || !calm) return brief;
  const double apart = std::abs(brief->speed - calm->speed);
  const bool moves = apart > std::max(kLeastMove, kMoveSigmas * std::sqrt(usual_square_));
  const double kept = moves ? kKeepMoving : kKeepUsual;
  usual_square_ = kept * usual_square_ + (1.0 - kept) * apart * apart;
  if (moves) moved_at_s_ = time_s;
  const bool is_brief = time_s - moved_at_s_ < window_s_;
  learn_scatter(calm->speed, moves);
  follow_course(brief->speed, calm->speed, time_s);
  const double wow95 = 1.96 * std::sqrt(usual_square_) * (is_brief ? 1.0 : kWowLeft);
  const SongFollower::Slope& slope = is_brief ? *brief : *calm;
  return SongFollower::Slope{slope.speed, std::hypot(slope.u95, wow95)};
}

std::optional<SongFollower::Slope> SongDial::turn(const SongFollower& trail, const SongStillness& still,
                                                  const std::optional<SongRates::Agreed>& rate,
                                                  double time_s) noexcept {
  auto slope = slope_and_rate(trail, still, rate, time_s);
  if (!slope || !course_) return slope;
  const bool is_brief = time_s - moved_at_s_ < window_s_;
  slope->u95 = std::max(slope->u95, 1.96 * scatter() * (is_brief ? kBriefErrs : 1.0));
  const double off = std::abs(slope->speed - *course_);
  if (off < kSurelyTurned) slope->u95 = std::max(slope->u95, off + scatter());
  return slope;
}

std::optional<SongFollower::Slope> SongDial::slope_and_rate(const SongFollower& trail, const SongStillness& still,
                                                            const std::optional<SongRates::Agreed>& rate,
                                                            double time_s) noexcept {
  auto slope = steady_slope(trail, still, time_s);
  if (slope) slope->u95 = std::max(slope->u95, kLeastU95);
  if (!rate) return slope;
  const double rate_square = rate->u95 * rate->u95 + 1.96 * 1.96 * usual_rate_square_;
  if (!slope) return SongFollower::Slope{rate->speed, std::sqrt(rate_square)};
  const double apart = rate->speed - slope->speed;
  if (time_s - moved_at_s_ > window_s_ && std::abs(apart) < kMostUsualRate)
    usual_rate_square_ = kKeepUsual * usual_rate_square_ + (1.0 - kKeepUsual) * apart * apart;
  // Where they differ by more than they may, both are less certain than they say.
  const double slope_square = slope->u95 * slope->u95;
  const double both = slope_square + rate_square;
  const double doubt = std::max(1.0, std::abs(apart) / std::sqrt(both));
  return SongFollower::Slope{slope->speed + apart * slope_square / both,
                             doubt * std::sqrt(slope_square * rate_square / both)};
}

}  // namespace four76
