// What the person asks of the coach, the long watch and the demo's machine.
#pragma once

#include <optional>
#include <variant>

#include "core/bench/coach.hpp"

namespace four76 {

namespace intent {
struct StartDemo {};
struct TurnTrimmer {
  double percent = 0.0;
};  // by so much, from where it stands
struct SetTrimmer {
  double percent = 0.0;
};  // to there
struct ShowWatch {
  bool on = false;
};  // its course is looked at
struct ShowCoach {
  bool on = false;
};  // unfolded: the hint says what the coach says
struct TurnedScrew {
  TurnWay way = TurnWay::unsaid;
  std::optional<double> turns;
};  // the person says that they just have
struct KnowScrew {
  std::optional<bool> clockwise_is_faster;
};  // from the machine's card; nothing forgets it
}  // namespace intent

using CoachIntent = std::variant<intent::StartDemo, intent::TurnTrimmer, intent::SetTrimmer, intent::ShowWatch,
                                 intent::ShowCoach, intent::TurnedScrew, intent::KnowScrew>;

}  // namespace four76
