// Settings: the tone on the tape, what is still good, and how it is shown; and what was said of the tape that plays.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>

#include "core/bench/visit.hpp"
#include "core/flutter/flutter_evidence.hpp"
#include "core/phrase.hpp"

namespace four76 {

enum class Unit : std::uint8_t { percent, cents, hertz };
enum class ChannelChoice : std::uint8_t { both, left, right };
enum class Trace : std::uint8_t { steady, raw, weighted };  // what the ribbon shows beside the steady line

struct Settings {
  double nominal_hz = 3000.0;                    // one of kStandardTonesHz, or typed
  double tolerance_percent = 0.5;                // one of kTolerances, or typed
  std::optional<double> tape_tolerance_percent;  // how far the tape's own tone may be off; nothing where not stated
  Unit unit = Unit::percent;
  ChannelChoice channel = ChannelChoice::both;
  Trace trace = Trace::steady;
  double visit_s = kVisitUsualS;  // that a measurement takes
  KnownParts known;               // of the machine, for the causes
  std::string device_id;          // empty: the browser's choice
  bool operator==(const Settings&) const = default;
};

struct Tolerance {
  double percent;
  Phrase source;  // where it comes from, in words
};
// Sources: sources.md#limits and sources.md#service-practice.
inline constexpr std::array<Tolerance, 4> kTolerances = {{
    {0.3, Phrase("archive replay, IASA TC-04 5.4.5")},
    {0.5, Phrase("usual service adjustment, common practice")},
    {1.0, Phrase("pocket portables, common practice")},
    {1.5, Phrase("hi-fi minimum, DIN 45500")},
}};
inline constexpr double kLowestTolerancePercent = 0.05;
inline constexpr double kHighestTolerancePercent = 10.0;

// What a tape's label or certificate may state (common practice); others can be typed.
inline constexpr std::array<double, 3> kTapeTolerancesPercent = {0.1, 0.2, 0.5};

// What the person has said of the tape that plays, until another tone, source or recording is chosen.
struct TapeTold {
  bool tone_is_sure = false;      // it carries the chosen tone, although it reads as another standard one
  std::optional<double> near_hz;  // of two steady tones this one is the tape's
};

}  // namespace four76
