// FlutterEvidence: what the causes and the verdicts rest on, as plain data, and the rules that say when it is enough.
//
// Thin evidence names no cause and gives no verdict. Thin are a reading that is not measured (unless the machine's own
// wow or dropouts are why), less than 5 s of figures (AES6-2008), a spectrum of less than 4 s. A jump of the speed
// reads as wow without being any. Nothing is said until it has left the live figures; after that, nothing of what it
// may still have added to: wow without a rhythm and the unweighted figures.
#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "core/flutter/flutter_figures.hpp"
#include "core/flutter/flutter_peaks.hpp"
#include "core/flutter/known_parts.hpp"
#include "core/flutter/level_flutter.hpp"
#include "core/flutter/standards.hpp"
#include "core/reading.hpp"

namespace four76 {

struct FlutterEvidence {
  std::span<const FlutterPeak> peaks;  // strongest first
  double span_s = 0.0;                 // of the spectrum that they stand in
  double resolution_hz = 0.0;
  FlutterReading figures;
  double drift_s = 0.0;                     // the time that figures.drift was seen over
  std::optional<double> since_jump_s;       // the speed jumped, as by a turned trimmer, so long ago
  double level_s = 0.0;                     // the time that the level was watched
  double dropouts_s = 0.0;                  // the time that dropouts were watched for
  std::optional<double> level_rms_percent;  // of the mean level, noise taken out
  std::optional<double> dropouts_per_minute;
  std::optional<double> deepest_dropout_db;  // below the level; positive
  Reading reading;
  double tolerance_percent = 0.5;  // common practice: service check
  double usual_weighted_percent = limits_of(Standard::portable_usual).weighted_percent;
  KnownParts known;

  void add_level(const LevelReading& level) noexcept;
};

// Whether the reading is withheld because the room or the device moves the phase, or the level, as a tape would. Its
// figures would then be those of the room or the device.
[[nodiscard]] bool spoils_flutter(const Reading& reading) noexcept;
[[nodiscard]] bool spoils_level(const Reading& reading) noexcept;

enum class Thin : std::uint8_t { not_measured, too_short, below_noise, just_turned };
[[nodiscard]] std::string_view name_of(Thin thin) noexcept;

inline constexpr double kJumpLasts_s = 12.0;  // the live window and a little

// Why no cause can be named from the rates; nothing where it can.
[[nodiscard]] std::optional<Thin> thin_for_rates(const FlutterEvidence& evidence) noexcept;
// The reading is measured, or only the machine's own wow and dropouts keep it from it.
[[nodiscard]] bool is_trustworthy(const FlutterEvidence& evidence) noexcept;

// Is wow and flutter more than is usual, for certain? Weighted beyond the usual, or 1 % unweighted: what a pocket
// portable's speed is allowed to stray (common practice).
inline constexpr double kUsualUnweighted_percent = 1.0;
struct BeyondUsual {
  bool weighted = false;
  bool unweighted = false;
  [[nodiscard]] bool any() const noexcept { return weighted || unweighted; }
};
[[nodiscard]] BeyondUsual beyond_usual(const FlutterEvidence& evidence) noexcept;

// How far the speed moved over the time that it was watched. It is never extrapolated.
struct SpeedMove {
  double change_percent = 0.0;
  double u95_percent = 0.0;
  double over_s = 0.0;
};
[[nodiscard]] std::optional<SpeedMove> speed_move(const FlutterEvidence& evidence) noexcept;
// A move is large where it reaches 0.2 % (what is heard) and
// - over 60 s or more: half the tolerance and 1.5 times its uncertainty;
// - over 20 to 60 s: the tolerance and three times its uncertainty.
[[nodiscard]] bool is_large(const SpeedMove& move, double tolerance_percent) noexcept;
// It surely moved by no more than half the tolerance, over 25 s at least (common practice: service adjustment).
[[nodiscard]] bool is_steady(const SpeedMove& move, double tolerance_percent) noexcept;

// What a clean head and a sound tape stay below (from memory; no standard is known here): 5 % of the level is 0.4 dB.
inline constexpr double kUsualLevel_percent = 5.0;
inline constexpr double kUsualDropouts_per_minute = 2.0;
inline constexpr double kLeastLevel_s = 10.0, kLeastDropouts_s = 30.0;
[[nodiscard]] bool has_level_flutter(const FlutterEvidence& evidence) noexcept;
[[nodiscard]] bool has_dropouts(const FlutterEvidence& evidence) noexcept;
// From memory: an RMS of 0.1 % above 100 Hz is heard as roughness.
inline constexpr double kUsualScrape_percent = 0.1;
[[nodiscard]] bool has_scrape(const FlutterEvidence& evidence) noexcept;

// The tolerance where it is above 0 and finite, else the usual service check's.
[[nodiscard]] double tolerance_of(const FlutterEvidence& evidence) noexcept;

}  // namespace four76
