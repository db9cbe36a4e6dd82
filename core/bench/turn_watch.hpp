// TurnWatch: sees turns of the screw in the dial's readings: settled, moving, settled again elsewhere.
//
//   readings, 20 a second --> mean of the newest 0.4 s --> departure from the level --> moving? --> settled: a Turn
//
// - The level is the mean of everything since the speed settled, the newest 10 s at most.
// - What the dial usually departs from its level, wow and noise and all, is learned while the speed is settled: 1.48
//   times the median of the sizes (a normal's sigma; about a sine's peak; derived). A movement is what departs four
//   times as far, and by 0.04 %.
// - It has settled again when over 1 s the means of 0.4 s stay within four times the usual.
// - A movement that settles where it began is no turn. Was it a large one, it is a jump that did not stay.
// - One that goes on within 1.5 s of settling is the same turn, done slowly.
// - A gap of more than 2 s begins anew: the machine may have been stopped, and nothing may be said of a change.
//
// The values are of our own choosing, tried on a portable's wow; there is no source for them.
#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "core/reading.hpp"

namespace four76 {

// The mean speed while nobody turns, and how far it may be off by wow and noise (95 %).
struct SettledSpeed {
  double percent = 0.0;
  double u95_percent = 0.0;
  double span_s = 0.0;
};

struct Turn {
  double began_s = 0.0, settled_s = 0.0;
  SettledSpeed from, to;
  bool stayed = true;         // false: it came back by itself
  double peak_percent = 0.0;  // the farthest that it got from where it began, signed
  [[nodiscard]] double change_percent() const noexcept { return to.percent - from.percent; }
};

enum class TurnState : std::uint8_t {
  nothing,   // no reading, or none for a while
  learning,  // not heard for long enough to tell wow from turns
  settled,
  moving,
};

class TurnWatch {
 public:
  static constexpr double kLeastPercent = 0.04;  // less than an ear hears (sources.md#hearing) or a hand can set
  static constexpr double kJumpPercent = 0.15;   // a jump that is worth a word
  static constexpr double kLongestGapS = 2.0;
  static constexpr double kSameTurnS = 1.5;

  void reset() noexcept;
  // The dial's next reading. True when a turn has just come to its end, or a jump that did not stay: see last().
  bool add(const Reading& reading) noexcept;

  [[nodiscard]] TurnState state() const noexcept { return state_; }
  // Nothing unless settled.
  [[nodiscard]] std::optional<SettledSpeed> level() const noexcept;
  // The newest; its `to` grows surer while the speed stays settled.
  [[nodiscard]] const std::optional<Turn>& last() const noexcept { return last_; }
  // Whether the newest took the place of the one before it: the same turn, gone on.
  [[nodiscard]] bool went_on() const noexcept { return went_on_; }
  // What the mean of 0.4 s usually departs by, percent.
  [[nodiscard]] double usual_percent() const noexcept { return usual_; }

 private:
  static constexpr std::size_t kShort = 8, kSettled = 20, kSettledNewest = 12, kLearned = 60,
                               kMost = 200;  // readings: 0.4, 1, 0.6, 3 and 10 s
  void begin_anew(double time_s) noexcept;
  void learn_at_once() noexcept;
  void learn(double departure) noexcept;
  void find_usual() noexcept;
  void watch_settled(double time_s) noexcept;
  bool watch_moving(double time_s) noexcept;
  bool settle(double time_s) noexcept;
  [[nodiscard]] double threshold(double level_u95) const noexcept;
  [[nodiscard]] double mean(std::size_t newest_left_out, std::size_t count) const noexcept;
  [[nodiscard]] bool stands_still() const noexcept;
  [[nodiscard]] SettledSpeed speed_of(std::size_t newest_left_out, std::size_t count) const noexcept;

  std::array<double, kMost> percent_{};     // ring
  std::array<double, kMost> departures_{};  // ring: sizes
  std::array<double, kMost> scratch_{};
  std::size_t count_ = 0;  // of readings since it began anew
  std::size_t learned_ = 0;
  std::size_t settled_count_ = 0;  // readings that the level is of
  double usual_ = 0.0, noise_u95_ = 0.0;
  double last_time_s_ = 0.0, began_s_ = 0.0, peak_ = 0.0;
  SettledSpeed from_;
  TurnState state_ = TurnState::nothing;
  std::optional<Turn> last_;
  bool went_on_ = false;
  bool grows_ = false;  // there is a last turn, and no gap since
};

}  // namespace four76
