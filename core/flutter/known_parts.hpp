// KnownParts: what the person knows of the machine and of where on the tape it plays. All of it may be missing.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace four76 {

// 1 7/8 inches a second (IEC 60094-1: sources.md#speed).
inline constexpr double kCassetteSpeed_cm_s = 4.7625;

enum class TapeKind : std::uint8_t { c60, c90, c120 };

struct KnownParts {
  std::optional<double> capstan_diameter_mm;
  std::optional<double> roller_diameter_mm;
  std::optional<double> motor_rpm;
  std::optional<double> motor_pulley_diameter_mm;  // where the belt runs
  std::optional<double> belt_length_mm;            // all the way round
  std::optional<double> flywheel_diameter_mm;      // where the belt runs
  std::optional<double> idler_diameter_mm;
  std::optional<double> side_played_share;  // 0 at the side's start, 1 at its end
  std::optional<TapeKind> tape_kind;
  std::optional<double> tape_speed_cm_s;
  bool operator==(const KnownParts&) const = default;
};

// What is wrong with what was entered, and what to do about it; the first only.
[[nodiscard]] std::optional<std::string_view> fault_in(const KnownParts& known) noexcept;
// The same without what cannot be.
[[nodiscard]] KnownParts without_faults(const KnownParts& known) noexcept;

[[nodiscard]] double tape_speed_mm_s(const KnownParts& known) noexcept;

// Common practice: C60, C90 and C120 are 18, 12 and 9 um thick, and 86, 129 and 172 m long.
[[nodiscard]] double tape_thickness_um(TapeKind kind) noexcept;
[[nodiscard]] double tape_length_m(TapeKind kind) noexcept;

}  // namespace four76
