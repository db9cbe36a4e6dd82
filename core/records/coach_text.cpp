#include "core/records/coach_text.hpp"

#include <array>
#include <cmath>
#include <string_view>

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
  if (std::abs(off) < 0.005) return "It runs right.";
  return "It runs " + percent(off) + (off > 0.0 ? " fast." : " slow.");
}

std::string_view way_text(TurnWay way) noexcept {
  switch (way) {
    case TurnWay::clockwise: return "clockwise";
    case TurnWay::counter_clockwise: return "counter-clockwise";
    case TurnWay::unsaid: break;
  }
  return "";
}

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

std::string which_way(const Advice& advice) {
  std::string text = advice.other_way ? "the other way" : "the same way";
  if (advice.way != TurnWay::unsaid) text += ", " + std::string(way_text(advice.way));
  return text;
}

std::string how_far(const Advice& advice) {
  std::string text = times_text(advice.times_the_last.value_or(1.0));
  if (advice.turns) text += " (" + rounded(*advice.turns, 2) + " of a turn)";
  return text;
}

CoachWords by_the_last(const Advice& advice) {
  std::string_view why;
  if (advice.kind == AdviceKind::wrong_way) why = " That was the wrong way.";
  if (advice.kind == AdviceKind::back) why = " That was too far.";
  return {capital(how_far(advice)) + ", " + which_way(advice),
          "That turn gave " + signed_percent_text(advice.last_change_percent.value_or(0.0)) + '.' + std::string(why) +
              ' ' + stands(advice)};
}

CoachWords try_a_little(const Advice& advice) {
  const bool known = advice.way != TurnWay::unsaid;
  std::string large = "Turn a little" + (known ? ' ' + std::string(way_text(advice.way)) : std::string());
  return {large, stands(advice) + " An eighth of a turn is enough to see what the screw does." +
                     (known ? "" : " Either way will do: if it is the wrong one, you will be told.")};
}

CoachWords does_nothing(const Advice& advice) {
  if (advice.turns_without_effect < 2)
    return {"Nothing changed", "Turn it back to its mark. " + stands(advice) + " It may be the wrong screw."};
  return {"That screw does nothing",
          "Turn it back to its mark and leave it: it sets something else, or its track is broken. Look for another one "
          "at the motor or on its board."};
}

CoachWords did_not_stay(const Advice& advice) {
  const std::string change = signed_percent_text(advice.last_change_percent.value_or(0.0));
  return {"It did not stay",
          "The speed moved by " + change +
              " and not by your turn, or came back by itself: the trimmer's track is worn or dirty. Turn it to and fro "
              "a few times over its whole way with the machine off, or clean it, then set it anew."};
}

CoachWords stop(const Advice& advice) {
  const std::string tolerance = percent(advice.tolerance_percent);
  if (advice.kind == AdviceKind::stop)
    return {"Stop: leave it", stands(advice) + " That is within " + tolerance + ". Steady beats perfect."};
  return {"Stop: leave it", stands(advice) + " That is within " + tolerance +
                                " as far as the wow lets it be told. A measurement of 30 seconds will tell."};
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
    std::string_view words;
  };
  // Between two neighbours the bounds lie at their geometric mean (derived).
  static constexpr std::array<Row, 10> kRows{{{0.15, "about a tenth as much"},
                                              {0.29, "about a quarter as much"},
                                              {0.41, "about a third as much"},
                                              {0.61, "about half as much"},
                                              {0.87, "about three quarters as much"},
                                              {1.22, "about as much again"},
                                              {1.73, "about one and a half times as much"},
                                              {2.45, "about twice as much"},
                                              {3.5, "about three times as much"},
                                              {4.5, "about four times as much"}}};
  for (const Row& row : kRows)
    if (times < row.below) return std::string(row.words);
  return times < 10.0 ? "about " + rounded(times, 1) + " times as much" : "much more";
}

CoachWords coach_text(const Advice& advice) {
  switch (advice.kind) {
    case AdviceKind::no_reading: return {"No tone", "Play the tape and bring the microphone near."};
    case AdviceKind::wait: return {"Wait", "Hands off for a few seconds: the wow is being learned."};
    case AdviceKind::moving: return {"Let it stand", "The speed is on the move."};
    case AdviceKind::too_unsteady:
      return {"Too unsteady to set", stands(advice) + " The wow is larger than the tolerance: mend that first."};
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
