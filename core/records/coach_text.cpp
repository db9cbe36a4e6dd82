#include "core/records/coach_text.hpp"

#include <array>
#include <cmath>
#include <string_view>

#include "core/phrase.hpp"
#include "core/records/figure_text.hpp"

namespace four76 {
namespace {

// To a hundredth.
std::string percent(double value) {
  const double size = std::round(std::abs(value) * 100.0) / 100.0;
  return rounded(size, size < 0.095 ? 1 : 2) + " %";
}

std::string stands(const Advice& advice) {
  if (!advice.speed) return "";
  const double off = advice.speed->percent;
  if (std::abs(off) < 0.005) return say("It runs right.");
  return say(off > 0.0 ? Phrase("It runs {0} fast.") : Phrase("It runs {0} slow."), percent(off));
}

std::string which_way(const Advice& advice) {
  const std::string way = advice.other_way ? say("the other way") : say("the same way");
  switch (advice.way) {
    case TurnWay::clockwise: return way + ", " + say("clockwise");
    case TurnWay::counter_clockwise: return way + ", " + say("counter-clockwise");
    case TurnWay::unsaid: break;
  }
  return way;
}

std::string how_far(const Advice& advice) {
  const std::string times = times_text(advice.times_the_last.value_or(1.0));
  return advice.turns ? say("{0} ({1} of a turn)", times, rounded(*advice.turns, 2)) : times;
}

CoachWords by_the_last(const Advice& advice) {
  std::string gave = say("That turn gave {0}.", signed_percent_text(advice.last_change_percent.value_or(0.0)));
  if (advice.kind == AdviceKind::wrong_way) gave += ' ' + say("That was the wrong way.");
  if (advice.kind == AdviceKind::back) gave += ' ' + say("That was too far.");
  return {how_far(advice) + ", " + which_way(advice), gave + ' ' + stands(advice)};
}

std::string_view a_little(TurnWay way) noexcept {
  switch (way) {
    case TurnWay::clockwise: return tr("Turn a little clockwise");
    case TurnWay::counter_clockwise: return tr("Turn a little counter-clockwise");
    case TurnWay::unsaid: break;
  }
  return tr("Turn a little");
}

CoachWords try_a_little(const Advice& advice) {
  std::string why = stands(advice) + ' ' + say("An eighth of a turn is enough to see what the screw does.");
  if (advice.way == TurnWay::unsaid) why += ' ' + say("Either way will do: if it is the wrong one, you will be told.");
  return {std::string(a_little(advice.way)), why};
}

CoachWords does_nothing(const Advice& advice) {
  if (advice.screw_works)
    return {say("Nothing changed yet"),
            say("That screw has moved the speed before: it may have some play. Turn a little further the same way.") +
                ' ' + stands(advice)};
  if (advice.turns_without_effect < 2)
    return {say("Nothing changed"),
            say("Turn it back to its mark.") + ' ' + stands(advice) + ' ' + say("It may be the wrong screw.")};
  return {say("That screw does nothing"),
          say("Turn it back to its mark and leave it: it sets something else, or its track is broken. Look for another "
              "one at the motor or on its board.")};
}

CoachWords did_not_stay(const Advice& advice) {
  return {
      say("It did not stay"),
      say("The speed moved by {0} and not by your turn, or came back by itself: the trimmer's track is worn or "
          "dirty. With the machine unplugged and its batteries out, turn it to and fro some ten times over its whole "
          "way, or clean it. Close it, let it play again, then set it anew.",
          signed_percent_text(advice.last_change_percent.value_or(0.0)))};
}

CoachWords stop(const Advice& advice) {
  const std::string tolerance = percent(advice.tolerance_percent);
  const std::string why =
      advice.kind == AdviceKind::stop
          ? say("That is within {0}. Steady beats perfect.", tolerance)
          : say("That is within {0} as far as the wow lets it be told. A measurement of 30 seconds will tell.",
                tolerance);
  return {say("Stop: leave it"), stands(advice) + ' ' + why};
}

}  // namespace

std::string signed_percent_text(double percent_value) {
  const std::string size = percent(percent_value);
  if (size.starts_with("0 ")) return size;
  return (percent_value < 0.0 ? "\u2212" : "+") + size;
}

std::string times_text(double times) {
  struct Row {
    double below;
    Phrase words;
  };
  // Between two neighbours the bounds lie at their geometric mean (derived).
  static constexpr std::array<Row, 10> kRows{{{0.15, Phrase("About a tenth as much")},
                                              {0.29, Phrase("About a quarter as much")},
                                              {0.41, Phrase("About a third as much")},
                                              {0.61, Phrase("About half as much")},
                                              {0.87, Phrase("About three quarters as much")},
                                              {1.22, Phrase("About as much again")},
                                              {1.73, Phrase("About one and a half times as much")},
                                              {2.45, Phrase("About twice as much")},
                                              {3.5, Phrase("About three times as much")},
                                              {4.5, Phrase("About four times as much")}}};
  for (const Row& row : kRows)
    if (times < row.below) return say(row.words);
  return times < 10.0 ? say("About {0} times as much", rounded(times, 1)) : say("Much more");
}

CoachWords coach_text(const Advice& advice) {
  switch (advice.kind) {
    case AdviceKind::no_reading: return {say("No tone"), say("Play the tape and bring the microphone near.")};
    case AdviceKind::wait: return {say("Wait"), say("Hands off for a few seconds: the wow is being learned.")};
    case AdviceKind::moving: return {say("Let it stand"), say("The speed is on the move.")};
    case AdviceKind::too_unsteady:
      return {say("Too unsteady to set"),
              stands(advice) + ' ' + say("The wow is larger than the tolerance: mend that first.")};
    case AdviceKind::try_a_little: return try_a_little(advice);
    case AdviceKind::more:
    case AdviceKind::back:
    case AdviceKind::wrong_way: return by_the_last(advice);
    case AdviceKind::does_nothing: return does_nothing(advice);
    case AdviceKind::did_not_stay: return did_not_stay(advice);
    case AdviceKind::stop:
    case AdviceKind::stop_nearly: return stop(advice);
  }
  return {};
}

}  // namespace four76
