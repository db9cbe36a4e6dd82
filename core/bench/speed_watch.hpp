// SpeedWatch: the speed over minutes to hours in constant memory: does it hold, and if not, how does it move?
//
//   readings with the time of day --> means of a second and more (DriftRecord) --> since the last jump --> a shape
//
// Four shapes are fitted by least squares, and the one that explains most for its numbers is taken (Bayes information
// criterion, Schwarz 1978, counting only as many points as are independent: (1 - r) / (1 + r) of them, r the first
// autocorrelation; common practice):
//
//   steady      a
//   sagging     a + b t                  steadily: belt, motor, batteries
//   warming up  a + b exp(-t / tau)      quick at first, then less and less
//   tape's end  a + b exp((t - T) / tau) little at first, then more and more: the pack drags as the side ends
//
// A shape counts only where it moves the speed by 0.05 % or more. Nobody hears less; our own choice. Below three
// minutes nothing is said. Where there was no reading for 2 s or more there is a gap, and it is said why.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

#include "core/flutter/drift.hpp"
#include "core/reading.hpp"

namespace four76 {

enum class SpeedShape : std::uint8_t { too_short, steady, sagging, warming_up, tape_end };
[[nodiscard]] std::string_view name_of(SpeedShape shape) noexcept;

struct SpeedCourse {
  SpeedShape shape = SpeedShape::too_short;
  double span_s = 0.0;                 // that it rests on: since the last jump
  std::optional<double> since_jump_s;  // nothing where there was none: somebody turned the trimmer
  double change_percent = 0.0;         // by which the shape moved the speed over that span, its end less its beginning
  double scatter_percent = 0.0;        // of the means about it (standard deviation)
  std::optional<double> tau_s;         // of warming up, of the tape's end
  std::optional<double> still_to_come_percent;  // of warming up
  std::optional<double> end_percent;            // where it stands at the end, by the shape
};
// Of blocks in the order of their time.
[[nodiscard]] SpeedCourse judge_course(std::span<const DriftBlock> blocks) noexcept;

enum class GapCause : std::uint8_t { no_tone, call, hidden, stopped };
struct SpeedGap {
  double from_s = 0.0, to_s = 0.0;
  GapCause cause = GapCause::no_tone;
};

class SpeedWatch {
 public:
  static constexpr std::size_t kMostGaps = 24;  // that are kept one by one; the rest is counted
  static constexpr double kShortestGapS = 2.0;
  static constexpr double kLongestGapS = 12.0 * 3600.0;  // a longer one is cut to this

  SpeedWatch();
  void reset() noexcept;
  // The dial's next reading, 20 a second; `now_s` is the device's clock, which goes on while no sound comes in.
  void add(double now_s, const Reading& dial) noexcept;
  // Why there may be no readings from now on; the next reading that holds ends it.
  void interrupted(GapCause cause) noexcept { cause_ = cause; }

  [[nodiscard]] double passed_s() const noexcept { return passed_s_; }
  [[nodiscard]] std::span<const DriftBlock> course() const noexcept { return record_.blocks(); }
  [[nodiscard]] std::span<const SpeedGap> gaps() const noexcept { return {gaps_.data(), gap_count_}; }
  [[nodiscard]] std::size_t gaps_in_all() const noexcept { return gaps_in_all_; }
  [[nodiscard]] SpeedCourse judge() const noexcept { return judge_course(course()); }

 private:
  void end_gap(double at_s) noexcept;
  DriftRecord record_;
  std::optional<double> begun_s_;
  double passed_s_ = 0.0, last_sound_s_ = 0.0;
  std::uint64_t points_ = 0;
  GapCause cause_ = GapCause::no_tone;
  std::array<SpeedGap, kMostGaps> gaps_{};
  std::size_t gap_count_ = 0, gaps_in_all_ = 0;
};

}  // namespace four76
