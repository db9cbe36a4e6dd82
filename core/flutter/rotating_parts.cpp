#include "core/flutter/rotating_parts.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace four76 {
namespace {

using std::numbers::pi;

struct Span {
  double low = 0.0, high = 0.0;
  Knowledge knowledge = Knowledge::usual;
};
Knowledge weaker(const Span& a, const Span& b) noexcept { return std::min(a.knowledge, b.knowledge); }
Span operator*(const Span& a, const Span& b) noexcept { return {a.low * b.low, a.high * b.high, weaker(a, b)}; }
Span operator/(const Span& a, const Span& b) noexcept { return {a.low / b.high, a.high / b.low, weaker(a, b)}; }
Span exactly(double value) noexcept { return {value, value, Knowledge::entered}; }

Span within(double value, double relative) noexcept {
  return {value * (1.0 - relative), value * (1.0 + relative), Knowledge::entered};
}
constexpr double kCaliper_mm = 0.05, kSlip = 0.005;
Span entered_diameter(double mm) noexcept { return within(mm, std::min(kCaliper_mm / mm + kSlip, 0.5)); }
Span diameter(const std::optional<double>& mm, Span usual) noexcept { return mm ? entered_diameter(*mm) : usual; }

// Usual sizes: sources.md#rotating-parts.
constexpr Span kUsualCapstan_mm{1.5, 3.0}, kUsualRoller_mm{11.0, 13.5}, kUsualBelt_hz{1.0, 4.0};
constexpr Span kHubRadius_mm{10.5, 11.0}, kFullRadius_mm{23.5, 25.5};
constexpr Span kUsualMotor_rpm{2000.0, 3000.0};  // 2400 rpm is the common one
constexpr Span kUsualFlywheel_mm{25.0, 60.0}, kUsualIdler_mm{10.0, 30.0};
constexpr double kBeltStretch = 0.02, kLabel = 0.03;
constexpr double kPlaceByEye = 0.05;  // of the side

Span capstan_hz(const KnownParts& known, double speed_mm_s) noexcept {
  return exactly(speed_mm_s / pi) / diameter(known.capstan_diameter_mm, kUsualCapstan_mm);
}

// What is on the reel is what has not been played, or what has.
Span reel_hz(Part part, const KnownParts& known, double speed_mm_s) noexcept {
  Span share{0.0, 1.0};
  if (known.side_played_share) {
    const double middle = part == Part::take_up_reel ? *known.side_played_share : 1.0 - *known.side_played_share;
    share = {std::max(middle - kPlaceByEye, 0.0), std::min(middle + kPlaceByEye, 1.0), Knowledge::entered};
  }
  const Span hub = kHubRadius_mm * kHubRadius_mm;
  Span full = kFullRadius_mm * kFullRadius_mm;
  if (known.tape_kind) {
    const double tape_mm2 = tape_length_m(*known.tape_kind) * tape_thickness_um(*known.tape_kind) / pi;
    full = {hub.low + tape_mm2, hub.high + tape_mm2};
  }
  const auto radius = [](double hub_mm2, double full_mm2, double part_on) {
    return std::sqrt(hub_mm2 + part_on * (full_mm2 - hub_mm2));
  };
  const Span radius_mm{radius(hub.low, full.low, share.low), radius(hub.high, full.high, share.high), share.knowledge};
  return exactly(speed_mm_s / (2.0 * pi)) / radius_mm;
}

Span motor_hz(const KnownParts& known, double speed_mm_s, double scale) noexcept {
  if (known.motor_rpm) return within(*known.motor_rpm / 60.0 * scale, kLabel);
  if (known.flywheel_diameter_mm && known.motor_pulley_diameter_mm)
    return capstan_hz(known, speed_mm_s) *
           (entered_diameter(*known.flywheel_diameter_mm) / entered_diameter(*known.motor_pulley_diameter_mm));
  return kUsualMotor_rpm / exactly(60.0);
}

std::optional<Span> rim_mm_s(const KnownParts& known, double speed_mm_s) noexcept {
  if (!known.flywheel_diameter_mm) return std::nullopt;
  return capstan_hz(known, speed_mm_s) * exactly(pi) * entered_diameter(*known.flywheel_diameter_mm);
}

std::optional<Span> belt_mm_s(const KnownParts& known, double speed_mm_s, double scale) noexcept {
  const std::optional<Span> rim = rim_mm_s(known, speed_mm_s);
  if (rim && rim->knowledge == Knowledge::entered) return rim;
  if (known.motor_rpm && known.motor_pulley_diameter_mm)
    return motor_hz(known, speed_mm_s, scale) * exactly(pi) * entered_diameter(*known.motor_pulley_diameter_mm);
  return rim;
}

Span belt_hz(const KnownParts& known, double speed_mm_s, double scale) noexcept {
  const std::optional<Span> running = belt_mm_s(known, speed_mm_s, scale);
  if (!known.belt_length_mm || !running) return kUsualBelt_hz;
  return *running / within(*known.belt_length_mm, kBeltStretch);
}

std::optional<Span> idler_hz(const KnownParts& known, double speed_mm_s) noexcept {
  if (!known.idler_diameter_mm && !known.flywheel_diameter_mm) return std::nullopt;
  const Span rim =
      capstan_hz(known, speed_mm_s) * exactly(pi) * diameter(known.flywheel_diameter_mm, kUsualFlywheel_mm);
  return rim / (exactly(pi) * diameter(known.idler_diameter_mm, kUsualIdler_mm));
}

double scale_of(double speed_error_percent) noexcept {
  // The session looks for the tone within 25 %: beyond, it is no error of speed.
  return std::abs(speed_error_percent) <= 25.0 ? 1.0 + speed_error_percent / 100.0 : 1.0;
}

std::optional<Span> turns_hz(Part part, const KnownParts& known, double scale) noexcept {
  const double speed_mm_s = tape_speed_mm_s(known) * scale;
  switch (part) {
    case Part::capstan: return capstan_hz(known, speed_mm_s);
    case Part::pinch_roller: return exactly(speed_mm_s / pi) / diameter(known.roller_diameter_mm, kUsualRoller_mm);
    case Part::supply_reel:
    case Part::take_up_reel: return reel_hz(part, known, speed_mm_s);
    case Part::belt: return belt_hz(known, speed_mm_s, scale);
    case Part::motor: return motor_hz(known, speed_mm_s, scale);
    case Part::idler: return idler_hz(known, speed_mm_s);
  }
  return std::nullopt;
}

std::optional<double> middle(const std::optional<Span>& span) noexcept {
  if (!span || span->knowledge != Knowledge::entered) return std::nullopt;
  return std::sqrt(span->low * span->high);
}

}  // namespace

std::string_view name_of(Part part) noexcept {
  switch (part) {
    case Part::capstan: return "capstan";
    case Part::pinch_roller: return "pinch_roller";
    case Part::supply_reel: return "supply_reel";
    case Part::take_up_reel: return "take_up_reel";
    case Part::belt: return "belt";
    case Part::motor: return "motor";
    case Part::idler: return "idler";
  }
  return "capstan";
}

std::string_view name_of(DimensionKind kind) noexcept {
  switch (kind) {
    case DimensionKind::diameter_mm: return "diameter_mm";
    case DimensionKind::pack_diameter_mm: return "pack_diameter_mm";
    case DimensionKind::rpm: return "rpm";
    case DimensionKind::length_mm: return "length_mm";
  }
  return "diameter_mm";
}

std::optional<RateRange> rate_range(Part part, const KnownParts& known, double speed_error_percent) noexcept {
  const std::optional<Span> turns = turns_hz(part, without_faults(known), scale_of(speed_error_percent));
  if (!turns) return std::nullopt;
  return RateRange{turns->low, turns->high, turns->knowledge};
}

std::optional<Dimension> implied_by(Part part, double rate_hz, const KnownParts& known,
                                    double speed_error_percent) noexcept {
  if (!(rate_hz > 0.0) || !std::isfinite(rate_hz)) return std::nullopt;
  const KnownParts sane = without_faults(known);
  const double scale = scale_of(speed_error_percent), speed_mm_s = tape_speed_mm_s(sane) * scale;
  switch (part) {
    case Part::capstan:
    case Part::pinch_roller: return Dimension{DimensionKind::diameter_mm, speed_mm_s / (pi * rate_hz)};
    case Part::supply_reel:
    case Part::take_up_reel: return Dimension{DimensionKind::pack_diameter_mm, speed_mm_s / (pi * rate_hz)};
    case Part::motor: return Dimension{DimensionKind::rpm, 60.0 * rate_hz};
    case Part::belt:
      if (const auto running_mm_s = middle(belt_mm_s(sane, speed_mm_s, scale)))
        return Dimension{DimensionKind::length_mm, *running_mm_s / rate_hz};
      return std::nullopt;
    case Part::idler:
      if (const auto running_mm_s = middle(rim_mm_s(sane, speed_mm_s)))
        return Dimension{DimensionKind::diameter_mm, *running_mm_s / (pi * rate_hz)};
      return std::nullopt;
  }
  return std::nullopt;
}

bool could_be(Part part, const Dimension& dimension) noexcept {
  // Common practice: hubs are 21 to 22 mm, full packs 47 to 51 mm; some room to either side.
  constexpr double kLeastPack_mm = 19.0, kMostPack_mm = 56.0;
  KnownParts known;
  switch (part) {
    case Part::supply_reel:
    case Part::take_up_reel: return dimension.value >= kLeastPack_mm && dimension.value <= kMostPack_mm;
    case Part::capstan: known.capstan_diameter_mm = dimension.value; break;
    case Part::pinch_roller: known.roller_diameter_mm = dimension.value; break;
    case Part::belt: known.belt_length_mm = dimension.value; break;
    case Part::motor: known.motor_rpm = dimension.value; break;
    case Part::idler: known.idler_diameter_mm = dimension.value; break;
  }
  return !fault_in(known);
}

double reel_change_hz_per_minute(double rate_hz, double thickness_um, double speed_mm_s) noexcept {
  const double thickness_mm = 1e-3 * thickness_um;
  return 60.0 * 2.0 * pi * thickness_mm * rate_hz * rate_hz * rate_hz / speed_mm_s;
}

double implied_thickness_um(double rate_hz, double change_hz_per_minute, double speed_mm_s) noexcept {
  return std::abs(change_hz_per_minute) / reel_change_hz_per_minute(rate_hz, 1.0, speed_mm_s);
}

}  // namespace four76
