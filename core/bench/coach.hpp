// Coach: learns the screw while it is turned, and says what to do next.
//
//   dial's readings --> TurnWatch --> turns --+--> what the last turn gave, how much more and which way
//   "I turned it", clockwise or not ----------+--> which way is faster; a screw that does nothing
//
// A turn needs no word from the person: it is a movement between two settled speeds, and the advice is a multiple of
// it. What the person does say is used: a turn that is marked and that nothing follows is a screw that does nothing; a
// way that is told is kept. Once two turns have been marked, a change that is not marked is one that came by itself.
//
// Advice is a pure reading of what is known: ask for it whenever it is shown. Words: core/records/coach_text.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

#include "core/bench/turn_watch.hpp"
#include "core/reading.hpp"

namespace four76 {

enum class TurnWay : std::uint8_t { unsaid, clockwise, counter_clockwise };

enum class AdviceKind : std::uint8_t {
  no_reading,    // there is no tone to coach by
  wait,          // learning the wow, or not sure yet on which side of the tolerance it is
  moving,        // the speed is on the move: let it stand
  too_unsteady,  // the wow is so strong that turns cannot be told: mend it first
  try_a_little,  // nothing is known of the screw: turn a little
  more,          // the right way, not far enough
  back,          // it went too far: the other way
  wrong_way,     // it got worse: the other way
  does_nothing,  // a marked turn that nothing followed
  did_not_stay,  // it jumped and came back, or moved by itself: a worn track
  stop,          // within the tolerance, surely: leave it
  stop_nearly,   // within the tolerance as far as can be told
};
[[nodiscard]] std::string_view name_of(AdviceKind kind) noexcept;

struct Advice {
  AdviceKind kind = AdviceKind::no_reading;
  std::optional<SettledSpeed> speed;          // where it stands
  double tolerance_percent = 0.0;             //
  std::optional<double> last_change_percent;  // what the last turn gave
  std::optional<double> times_the_last;       // how much to turn, as a multiple of the last turn; above 0
  bool other_way = false;                     // than the last turn
  TurnWay way = TurnWay::unsaid;              // which way to turn, where that is known
  std::optional<double> turns;                // how far, where the person has said how far they turned
  int turns_without_effect = 0;               // marked, in a row
  bool screw_works = false;                   // an earlier turn moved the speed
};

class Coach {
 public:
  struct Config {
    double tolerance_percent = 0.5;
    double aim_percent = 0.0;                 // the speed error to be set; 0 unless the tape's own error is known
    std::optional<bool> clockwise_is_faster;  // from the machine's card
  };
  static constexpr std::size_t kMostTurns = 16;  // kept
  static constexpr double kAnswerS = 3.0;        // a screw that does something has done it by then
  static constexpr double kLateMarkS = 60.0;     // a mark so long after a turn that nobody marked is that turn's
  static constexpr double kTwiceS = 2.0;         // a second mark so soon says the same turn again

  // tolerance_percent is above 0.
  explicit Coach(const Config& config) noexcept;
  void reset() noexcept;
  void set_tolerance(double percent) noexcept;

  // The dial's next reading, 20 a second.
  void add(const Reading& reading) noexcept;
  // The person says that they have just turned, and perhaps which way and how many turns of the screw.
  void mark(TurnWay way, std::optional<double> turns = std::nullopt) noexcept;

  [[nodiscard]] Advice advice() const noexcept;
  // Oldest first.
  [[nodiscard]] std::span<const Turn> turns() const noexcept { return {turns_.data(), count_}; }
  [[nodiscard]] std::optional<bool> clockwise_is_faster() const noexcept;
  // Percent for a whole turn of the screw, to the faster side; nothing before a size was told.
  [[nodiscard]] std::optional<double> percent_per_turn() const noexcept { return percent_per_turn_; }

 private:
  struct Mark {
    double time_s = 0.0;
    TurnWay way = TurnWay::unsaid;
    std::optional<double> turns;
  };
  void keep(const Turn& turn) noexcept;
  void answer() noexcept;
  void correct(TurnWay way) noexcept;
  void look_at_mark() noexcept;
  [[nodiscard]] Advice judge_settled(Advice advice) const noexcept;
  [[nodiscard]] Advice judge_last(Advice advice, double needed) const noexcept;
  void add_way(Advice& advice, double needed) const noexcept;

  Config config_;
  TurnWatch watch_;
  std::array<Turn, kMostTurns> turns_{};
  std::size_t count_ = 0;
  double time_s_ = 0.0;
  std::optional<Mark> mark_;      // not answered yet
  std::optional<double> free_s_;  // when the newest turn settled that no mark has been laid to
  SettledSpeed free_from_;        // and from where: a turn that goes on may have had a mark for its first part
  std::optional<Mark> answered_;  // the newest mark that has found its turn
  int marks_answered_ = 0, without_effect_ = 0;
  int votes_ = 0;  // that clockwise is faster, less those against
  bool by_itself_ = false;
  std::optional<double> percent_per_turn_;
};

}  // namespace four76
