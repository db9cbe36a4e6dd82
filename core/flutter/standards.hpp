// Standards: the named judgements that a weighted figure of wow and flutter, and a speed error, are held against.
//
// A figure meets a limit where all of what it may be (95 %) lies within, misses it where none does, and cannot be told
// between. A figure below what can be told meets what is above the least that could have been told.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

#include "core/flutter/noise_removal.hpp"

namespace four76 {

enum class Standard : std::uint8_t { archive_replay, csn_36_8430, hifi_minimum, portable_usual };

struct StandardLimits {
  Standard standard = Standard::hifi_minimum;
  double weighted_percent = 0.0;
  std::optional<double> speed_percent = std::nullopt;
};

// Strictest wow and flutter first. Sources: sources.md#limits.
inline constexpr std::array<StandardLimits, 4> kStandards{{
    {Standard::archive_replay, 0.1, 0.3},  // IASA TC-04, 5.4.5
    {Standard::csn_36_8430, 0.15, 2.0},    // CSN 36 8430:1984
    {Standard::hifi_minimum, 0.2, 1.5},    // DIN 45500
    {Standard::portable_usual, 0.4, 1.0},  // common practice; the 0.3 to 0.4 % weighted from memory
}};

enum class Judgement : std::uint8_t { meets, misses, cannot_be_told };

// The names used in JSON.
[[nodiscard]] std::string_view name_of(Standard standard) noexcept;
[[nodiscard]] std::string_view name_of(Judgement judgement) noexcept;

[[nodiscard]] const StandardLimits& limits_of(Standard standard) noexcept;
// The figure is weighted, two-sigma or quasi-peak.
[[nodiscard]] Judgement judge_weighted(Standard standard, const FlutterFigure& weighted) noexcept;
[[nodiscard]] Judgement judge_speed(Standard standard, double speed_error_percent,
                                    std::optional<double> u95_percent) noexcept;
// The strictest that is met for certain.
[[nodiscard]] std::optional<Standard> strictest_met(const FlutterFigure& weighted) noexcept;

}  // namespace four76
