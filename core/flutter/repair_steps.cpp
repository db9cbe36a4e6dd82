#include "core/flutter/repair_steps.hpp"

#include <algorithm>
#include <array>
#include <initializer_list>

#include "core/signal/sort_few.hpp"

namespace four76 {
namespace {

using enum RepairStep;

RepairSteps in_order(std::initializer_list<RepairStep> steps) noexcept {
  RepairSteps list;
  for (const RepairStep step : steps) list.add(step);
  sort_few(list.begin(), list.end(), [](RepairStep a, RepairStep b) { return a < b; });
  return list;
}

}  // namespace

std::string_view name_of(CauseKind kind) noexcept {
  switch (kind) {
    case CauseKind::capstan: return "capstan";
    case CauseKind::pinch_roller: return "pinch_roller";
    case CauseKind::supply_reel: return "supply_reel";
    case CauseKind::take_up_reel: return "take_up_reel";
    case CauseKind::belt: return "belt";
    case CauseKind::motor: return "motor";
    case CauseKind::idler: return "idler";
    case CauseKind::unknown_rate: return "unknown_rate";
    case CauseKind::random_wow: return "random_wow";
    case CauseKind::scrape: return "scrape";
    case CauseKind::level_flutter: return "level_flutter";
    case CauseKind::dropouts: return "dropouts";
    case CauseKind::sag: return "sag";
    case CauseKind::warm_up: return "warm_up";
    case CauseKind::trimmer: return "trimmer";
  }
  return "unknown_rate";
}

CauseKind cause_kind(Part part) noexcept {
  switch (part) {
    case Part::capstan: return CauseKind::capstan;
    case Part::pinch_roller: return CauseKind::pinch_roller;
    case Part::supply_reel: return CauseKind::supply_reel;
    case Part::take_up_reel: return CauseKind::take_up_reel;
    case Part::belt: return CauseKind::belt;
    case Part::motor: return CauseKind::motor;
    case Part::idler: return CauseKind::idler;
  }
  return CauseKind::unknown_rate;
}

std::string_view name_of(RepairStep step) noexcept {
  constexpr std::array<std::string_view, kRepairStepCount> kNames{
      "clean_tape_path", "clean_belt_path", "clean_idler",      "try_other_cassette", "check_batteries",
      "let_it_warm_up",  "enter_sizes",     "replace_belt",     "inspect_roller",     "free_roller",
      "check_capstan",   "oil_bearings",    "check_reel_drive", "check_back_tension", "check_pressure_pad",
      "check_idler",     "check_motor",     "turn_trimmer"};
  return kNames[std::min<std::size_t>(static_cast<std::size_t>(step), kRepairStepCount - 1)];
}

MachineState state_for(RepairStep step) noexcept {
  switch (step) {
    case try_other_cassette:
    case check_batteries:
    case let_it_warm_up: return MachineState::closed;
    case check_capstan:
    case check_motor:
    case turn_trimmer: return MachineState::running;
    default: return MachineState::without_power;
  }
}

RepairSteps steps_for(CauseKind kind) noexcept {
  switch (kind) {
    case CauseKind::capstan: return in_order({clean_tape_path, check_capstan, oil_bearings});
    case CauseKind::pinch_roller: return in_order({clean_tape_path, inspect_roller, free_roller});
    case CauseKind::supply_reel:
      return in_order({clean_tape_path, try_other_cassette, check_reel_drive, check_back_tension});
    case CauseKind::take_up_reel: return in_order({clean_tape_path, clean_idler, try_other_cassette, check_reel_drive});
    case CauseKind::belt: return in_order({clean_belt_path, replace_belt});
    case CauseKind::motor: return in_order({clean_belt_path, check_batteries, check_motor});
    case CauseKind::idler: return in_order({clean_idler, check_idler});
    case CauseKind::unknown_rate: return in_order({clean_tape_path, clean_belt_path, enter_sizes});
    case CauseKind::random_wow:
      return in_order({clean_tape_path, clean_belt_path, try_other_cassette, replace_belt, free_roller, oil_bearings,
                       check_back_tension});
    case CauseKind::scrape:
    case CauseKind::level_flutter:
    case CauseKind::dropouts: return in_order({clean_tape_path, try_other_cassette, check_pressure_pad});
    case CauseKind::sag: return in_order({clean_belt_path, check_batteries, replace_belt, oil_bearings, check_motor});
    case CauseKind::warm_up: return in_order({let_it_warm_up, oil_bearings});
    case CauseKind::trimmer: return in_order({let_it_warm_up, turn_trimmer});
  }
  return {};
}

RepairSteps joined(const RepairSteps& a, const RepairSteps& b) noexcept {
  RepairSteps list;
  for (std::size_t i = 0; i < kRepairStepCount; ++i) {
    const RepairStep step = static_cast<RepairStep>(i);
    const auto holds = [&](const RepairSteps& steps) {
      return std::find(steps.begin(), steps.end(), step) != steps.end();
    };
    if (holds(a) || holds(b)) list.add(step);
  }
  return list;
}

}  // namespace four76
