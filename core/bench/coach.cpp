#include "core/bench/coach.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace four76 {
namespace {

// A multiple that is larger than this is no help for the hand: it says "a lot" (our own choice).
constexpr double kMostTimes = 20.0, kLeastTimes = 0.05;
constexpr int kMarksForHabit = 2;
constexpr double kUnsteadyShare = 1.0;  // of the tolerance: below it turns can be told from wow
constexpr double kSpan_s = 9.0;         // longer the level does not grow surer (TurnWatch keeps 10 s)

// That clockwise is faster: 1, that it is slower: -1.
int vote(TurnWay way, const Turn& turn) noexcept {
  if (way == TurnWay::unsaid) return 0;
  return (way == TurnWay::clockwise) == (turn.change_percent() > 0.0) ? 1 : -1;
}

}  // namespace

std::string_view name_of(AdviceKind kind) noexcept {
  switch (kind) {
    case AdviceKind::no_reading: return "no_reading";
    case AdviceKind::wait: return "wait";
    case AdviceKind::moving: return "moving";
    case AdviceKind::too_unsteady: return "too_unsteady";
    case AdviceKind::try_a_little: return "try_a_little";
    case AdviceKind::more: return "more";
    case AdviceKind::back: return "back";
    case AdviceKind::wrong_way: return "wrong_way";
    case AdviceKind::does_nothing: return "does_nothing";
    case AdviceKind::did_not_stay: return "did_not_stay";
    case AdviceKind::stop: return "stop";
    case AdviceKind::stop_nearly: return "stop_nearly";
  }
  return "no_reading";
}

Coach::Coach(const Config& config) noexcept : config_(config) {
  assert(config.tolerance_percent > 0.0 && "a tolerance is above 0");
}

void Coach::reset() noexcept { *this = Coach(config_); }

void Coach::set_tolerance(double percent) noexcept {
  assert(percent > 0.0 && "a tolerance is above 0");
  config_.tolerance_percent = percent;
}

void Coach::keep(const Turn& turn) noexcept {
  const bool goes_on = watch_.went_on() && count_ > 0 && turns_[count_ - 1].began_s == turn.began_s;
  if (!goes_on)
    free_from_ = turn.from;
  else if (!free_s_)  // what came before has had its mark
    free_from_ = turns_[count_ - 1].to;
  if (!goes_on && count_ == kMostTurns) {
    std::move(turns_.begin() + 1, turns_.end(), turns_.begin());
    --count_;
  }
  if (!goes_on) {
    ++count_;
    by_itself_ = marks_answered_ >= kMarksForHabit && !mark_ && turn.stayed;
  }
  turns_[count_ - 1] = turn;
  if (turn.stayed) without_effect_ = 0;  // whoever said that they had turned, the screw does something
  if (mark_)
    answer();
  else
    free_s_ = turn.settled_s;
}

// The mark has found its turn: the newest, or how far that has gone on.
void Coach::answer() noexcept {
  const Mark mark = *mark_;
  Turn turn = turns_[count_ - 1];
  turn.from = free_from_;
  mark_.reset();
  free_s_.reset();
  if (!turn.stayed) return;
  by_itself_ = false;
  ++marks_answered_;
  answered_ = mark;
  votes_ += vote(mark.way, turn);
  if (mark.turns && *mark.turns > 0.0) {
    const double now = std::abs(turn.change_percent()) / *mark.turns;
    percent_per_turn_ = percent_per_turn_ ? 0.5 * (*percent_per_turn_ + now) : now;
  }
}

// The same turn told again, and perhaps another way.
void Coach::correct(TurnWay way) noexcept {
  if (way == TurnWay::unsaid) return;
  votes_ += vote(way, turns_[count_ - 1]) - vote(answered_->way, turns_[count_ - 1]);
  answered_->way = way;
}

void Coach::mark(TurnWay way, std::optional<double> turns) noexcept {
  if (!mark_ && !free_s_ && answered_ && count_ > 0 && time_s_ - answered_->time_s < kTwiceS) return correct(way);
  mark_ = Mark{time_s_, way, turns};
  if (free_s_ && count_ > 0 && time_s_ - *free_s_ < kLateMarkS) answer();
}

void Coach::look_at_mark() noexcept {
  if (!mark_ || watch_.state() != TurnState::settled || time_s_ - mark_->time_s < kAnswerS) return;
  mark_.reset();
  ++without_effect_;
}

void Coach::add(const Reading& reading) noexcept {
  time_s_ = reading.time_s;
  if (watch_.add(reading) && watch_.last()) keep(*watch_.last());
  // The newest grows surer while the speed stays.
  const bool newest = count_ > 0 && watch_.last() && watch_.last()->began_s == turns_[count_ - 1].began_s;
  if (newest && watch_.state() == TurnState::settled) turns_[count_ - 1] = *watch_.last();
  look_at_mark();
}

std::optional<bool> Coach::clockwise_is_faster() const noexcept {
  if (votes_ != 0) return votes_ > 0;
  return config_.clockwise_is_faster;
}

void Coach::add_way(Advice& advice, double needed) const noexcept {
  if (const auto faster = clockwise_is_faster())
    advice.way = *faster == (needed > 0.0) ? TurnWay::clockwise : TurnWay::counter_clockwise;
  if (percent_per_turn_ && *percent_per_turn_ > 0.0) advice.turns = std::abs(needed) / *percent_per_turn_;
}

// By what the last turn gave.
Advice Coach::judge_last(Advice advice, double needed) const noexcept {
  const Turn& last = turns_[count_ - 1];
  const double change = last.change_percent();
  advice.last_change_percent = change;
  advice.other_way = (change > 0.0) != (needed > 0.0);
  advice.times_the_last = std::clamp(std::abs(needed / change), kLeastTimes, kMostTimes);
  const double before = last.from.percent - config_.aim_percent;
  const bool passed = (before > 0.0) == (needed > 0.0);  // needed points back to the side that it came from
  advice.kind = !advice.other_way ? AdviceKind::more : passed ? AdviceKind::back : AdviceKind::wrong_way;
  return advice;
}

Advice Coach::judge_settled(Advice advice) const noexcept {
  const SettledSpeed speed = *advice.speed;
  const double off = speed.percent - config_.aim_percent, tolerance = config_.tolerance_percent;
  const bool has_last = count_ > 0 && turns_[count_ - 1].settled_s >= time_s_ - 600.0;
  if (has_last && (by_itself_ || !turns_[count_ - 1].stayed)) {
    advice.kind = AdviceKind::did_not_stay;
    advice.last_change_percent =
        turns_[count_ - 1].stayed ? turns_[count_ - 1].change_percent() : turns_[count_ - 1].peak_percent;
    return advice;
  }
  if (std::abs(off) + speed.u95_percent <= tolerance) return advice.kind = AdviceKind::stop, advice;
  if (std::abs(off) <= tolerance) {
    advice.kind = speed.span_s < kSpan_s ? AdviceKind::wait : AdviceKind::stop_nearly;
    return advice;
  }
  if (watch_.usual_percent() > kUnsteadyShare * tolerance && std::abs(off) < 3.0 * watch_.usual_percent())
    return advice.kind = AdviceKind::too_unsteady, advice;
  add_way(advice, -off);
  if (without_effect_ > 0) return advice.kind = AdviceKind::does_nothing, advice;
  advice.kind = AdviceKind::try_a_little;
  return has_last ? judge_last(advice, -off) : advice;
}

Advice Coach::advice() const noexcept {
  Advice advice;
  advice.tolerance_percent = config_.tolerance_percent;
  advice.turns_without_effect = without_effect_;
  advice.screw_works = std::any_of(turns().begin(), turns().end(), [](const Turn& turn) { return turn.stayed; });
  advice.speed = watch_.level();
  switch (watch_.state()) {
    case TurnState::nothing: advice.kind = AdviceKind::no_reading; break;
    case TurnState::learning: advice.kind = AdviceKind::wait; break;
    case TurnState::moving: advice.kind = AdviceKind::moving; break;
    case TurnState::settled: return judge_settled(advice);
  }
  return advice;
}

}  // namespace four76
