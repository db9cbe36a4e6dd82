#include "core/flutter/known_parts.hpp"

#include <array>

#include "core/phrase.hpp"

namespace four76 {
namespace {

// Wide enough for every machine that plays cassettes (common practice); what lies outside is a slip of the pen or of
// the unit.
struct Bounds {
  std::optional<double> KnownParts::*field;
  double least, most;
  Phrase words;
};

constexpr std::array<Bounds, 9> kBounds{{
    {&KnownParts::capstan_diameter_mm, 0.8, 8.0,
     Phrase("A capstan is 0.8 to 8 mm thick. Measure the bare shaft where the tape touches it, in millimetres.")},
    {&KnownParts::roller_diameter_mm, 5.0, 25.0,
     Phrase("A pinch roller is 5 to 25 mm across. Measure its rubber, in millimetres.")},
    {&KnownParts::motor_rpm, 100.0, 12000.0,
     Phrase("A motor makes 100 to 12000 turns a minute. Look at its label; where it says none, leave this empty.")},
    {&KnownParts::motor_pulley_diameter_mm, 1.0, 40.0,
     Phrase("A motor's pulley is 1 to 40 mm across. Measure where the belt runs, in millimetres.")},
    {&KnownParts::belt_length_mm, 30.0, 1000.0,
     Phrase(
         "A belt is 30 to 1000 mm long, all the way round. Lay it flat, measure it and double that, in millimetres.")},
    {&KnownParts::flywheel_diameter_mm, 8.0, 150.0,
     Phrase("A flywheel is 8 to 150 mm across. Measure where the belt runs, in millimetres.")},
    {&KnownParts::idler_diameter_mm, 4.0, 60.0,
     Phrase("An idler is 4 to 60 mm across. Measure its rubber, in millimetres.")},
    {&KnownParts::side_played_share, 0.0, 1.0,
     Phrase("The place on the side goes from 0, the start, to 1, the end. Look at the two packs of tape.")},
    {&KnownParts::tape_speed_cm_s, 1.0, 20.0,
     Phrase("Tape runs at 1 to 20 cm a second. A cassette's is 4.76; leave this empty if in doubt.")},
}};

bool is_sane(const std::optional<double>& value, const Bounds& bounds) noexcept {
  return !value || (*value >= bounds.least && *value <= bounds.most);  // not so for NaN
}

}  // namespace

std::optional<std::string_view> fault_in(const KnownParts& known) noexcept {
  for (const Bounds& bounds : kBounds)
    if (!is_sane(known.*bounds.field, bounds)) return tr(bounds.words);
  if (known.flywheel_diameter_mm && known.capstan_diameter_mm &&
      *known.flywheel_diameter_mm <= *known.capstan_diameter_mm)
    return tr(Phrase("The flywheel must be wider than its shaft, the capstan. Measure both again."));
  return std::nullopt;
}

KnownParts without_faults(const KnownParts& known) noexcept {
  KnownParts sane = known;
  for (const Bounds& bounds : kBounds)
    if (!is_sane(sane.*bounds.field, bounds)) sane.*bounds.field = std::nullopt;
  if (fault_in(sane)) sane.flywheel_diameter_mm = sane.capstan_diameter_mm = std::nullopt;
  return sane;
}

double tape_speed_mm_s(const KnownParts& known) noexcept {
  return 10.0 * known.tape_speed_cm_s.value_or(kCassetteSpeed_cm_s);
}

double tape_thickness_um(TapeKind kind) noexcept {
  switch (kind) {
    case TapeKind::c60: return 18.0;
    case TapeKind::c90: return 12.0;
    case TapeKind::c120: return 9.0;
  }
  return 18.0;
}

double tape_length_m(TapeKind kind) noexcept {
  switch (kind) {
    case TapeKind::c60: return 86.0;
    case TapeKind::c90: return 129.0;
    case TapeKind::c120: return 172.0;
  }
  return 86.0;
}

}  // namespace four76
