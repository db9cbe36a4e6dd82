// RotatingParts: how often each part of a cassette machine turns in a second, and what a rate would make of a part.
//
//   capstan (and its flywheel), pinch roller    f = v / (pi d)
//   reel                                        f = v / (2 pi r),  r^2 = r0^2 + L t / pi   (L of tape, t thick, on it)
//   belt                                        its running speed over its length
//   motor                                       rpm / 60, or from flywheel over pulley
//   idler, on the flywheel's rim                the rim's speed over pi d
//
// (all derived). Playing, a reel's rate moves by 2 pi t f^3 / v a second: up for the supply reel, down for the take-up
// reel (derived: dr^2 / dt = v t / pi).
//
// What was measured gives a narrow range, what is not known the usual one; each is given at the speed at which the
// machine really runs. A diameter is taken as good to 0.05 mm and 0.5 % (common practice: a caliper and slip), a belt's
// length to 2 %, a motor's label to 3 % (from memory).
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "core/flutter/known_parts.hpp"

namespace four76 {

enum class Part : std::uint8_t { capstan, pinch_roller, supply_reel, take_up_reel, belt, motor, idler };
inline constexpr std::size_t kPartCount = 7;

// The names used in JSON.
[[nodiscard]] std::string_view name_of(Part part) noexcept;
[[nodiscard]] constexpr bool is_reel(Part part) noexcept {
  return part == Part::supply_reel || part == Part::take_up_reel;
}

enum class Knowledge : std::uint8_t {
  usual,    // what is common in such machines
  entered,  // follows from what the person entered
};

struct RateRange {
  double low_hz = 0.0;
  double high_hz = 0.0;
  Knowledge knowledge = Knowledge::usual;
};

enum class DimensionKind : std::uint8_t { diameter_mm, pack_diameter_mm, rpm, length_mm };
// The names used in JSON.
[[nodiscard]] std::string_view name_of(DimensionKind kind) noexcept;

struct Dimension {
  DimensionKind kind = DimensionKind::diameter_mm;
  double value = 0.0;
};

// Nothing for an idler of which nothing is known. `speed_error_percent`: how far off the right speed the tape runs.
[[nodiscard]] std::optional<RateRange> rate_range(Part part, const KnownParts& known,
                                                  double speed_error_percent = 0.0) noexcept;

// What the part would be, were this its rate; nothing where that takes another part's size that is not known.
[[nodiscard]] std::optional<Dimension> implied_by(Part part, double rate_hz, const KnownParts& known,
                                                  double speed_error_percent = 0.0) noexcept;

// Whether machines have a part of that size.
[[nodiscard]] bool could_be(Part part, const Dimension& dimension) noexcept;

// By how much a reel's rate moves, without the sign, and which thickness of tape would make it move so.
[[nodiscard]] double reel_change_hz_per_minute(double rate_hz, double thickness_um, double speed_mm_s) noexcept;
[[nodiscard]] double implied_thickness_um(double rate_hz, double change_hz_per_minute, double speed_mm_s) noexcept;

}  // namespace four76
