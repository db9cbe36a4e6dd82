// RepairSteps: what to do about each kind of cause, in the trade's order: clean first, then what costs nothing, then
// belt and roller, what lies deeper, and the trimmer last (common practice).
#pragma once

#include <cstdint>
#include <string_view>

#include "core/flutter/rotating_parts.hpp"
#include "core/flutter/short_list.hpp"

namespace four76 {

enum class CauseKind : std::uint8_t {
  capstan,
  pinch_roller,
  supply_reel,
  take_up_reel,
  belt,
  motor,
  idler,
  unknown_rate,   // a rhythm that fits no part that is known
  random_wow,     // no rhythm
  scrape,         // 100 to 200 Hz
  level_flutter,  // the level sways
  dropouts,       // the level falls away
  sag,            // the speed sinks
  warm_up,        // the speed rises
  trimmer,        // the speed is off, steadily
};
// The names used in JSON.
[[nodiscard]] std::string_view name_of(CauseKind kind) noexcept;
[[nodiscard]] CauseKind cause_kind(Part part) noexcept;
[[nodiscard]] constexpr bool names_a_part(CauseKind kind) noexcept { return kind < CauseKind::unknown_rate; }

// In the trade's order.
enum class RepairStep : std::uint8_t {
  clean_tape_path,
  clean_belt_path,
  clean_idler,
  try_other_cassette,
  check_batteries,
  let_it_warm_up,
  enter_sizes,
  replace_belt,
  inspect_roller,
  free_roller,
  check_capstan,
  oil_bearings,
  check_reel_drive,
  check_back_tension,
  check_pressure_pad,
  check_idler,
  check_motor,
  turn_trimmer,
};
inline constexpr std::size_t kRepairStepCount = 18;
[[nodiscard]] std::string_view name_of(RepairStep step) noexcept;

// In which state of the machine a step is done: one that asks for it to play does not follow from one that takes its
// power away.
enum class MachineState : std::uint8_t {
  closed,         // as it is used; playing or not
  without_power,  // plug and batteries out: hands go inside
  running,        // playing, with its inside in reach: through an opening, or open and on batteries alone
};
[[nodiscard]] MachineState state_for(RepairStep step) noexcept;

using RepairSteps = ShortList<RepairStep, kRepairStepCount>;
[[nodiscard]] RepairSteps steps_for(CauseKind kind) noexcept;
// Those of both, each once, in order.
[[nodiscard]] RepairSteps joined(const RepairSteps& a, const RepairSteps& b) noexcept;

}  // namespace four76
