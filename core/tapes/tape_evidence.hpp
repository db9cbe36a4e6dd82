// What a tape tells of the machine's speed by itself. Plain data.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace four76 {

enum class EvidenceKind : std::uint8_t {
  concert_pitch,  // where the piece's notes lie between the semitones of A = 440 Hz, or of another A
  line_scan,      // the whistle of a television that stood in the room of the recording
  mains_hum,      // of the recording; the replay machine's own hum is not on the tape
};

struct Evidence {
  EvidenceKind kind = EvidenceKind::concert_pitch;
  double nominal_hz = 440.0;
  double measured_hz = 440.0;         // for concert pitch that A, within half a semitone of 440, which the notes lie on
  double measured_u95_percent = 0.0;  // of the measurement alone
  double on_tape_probability = 1.0;   // that it was recorded, and is not the machine's or the listener's room
};

enum class TapeReason : std::uint8_t {
  too_quiet,       // almost no sound
  too_short,       // not enough sound yet
  no_pitch,        // no steady notes on a scale of semitones: speech, noise, drums, glides, another scale
  ambiguous,       // several speeds fit, mostly a semitone apart
  tapes_disagree,  // at least one tape says something else than the rest
};
inline constexpr std::size_t kTapeReasonCount = 5;

// Of one tape, before any prior: what was measured.
struct TapeFindings {
  std::vector<Evidence> evidence;
  std::vector<TapeReason> reasons;  // too_quiet, too_short, no_pitch
  // Of the machine's movement, from the partials' common movement; nothing where there are too few.
  std::optional<double> relative_wow_rms_percent;      // 0.3 to 3 Hz (pitch/wow_spectrum.hpp)
  std::optional<double> relative_wow_u95_percent;      // nothing: at least so much
  std::optional<double> wow_rate_hz, wow_rate_u95_hz;  // of its strongest line, where one stands out
  std::optional<double> drift_percent_per_minute;
  // The speed of the last second against that since the session began: exact while the absolute speed is not.
  std::optional<double> lately_percent, lately_u95_percent;
  double heard_s = 0.0;
};

[[nodiscard]] std::string_view name_of(EvidenceKind kind) noexcept;
[[nodiscard]] std::string_view name_of(TapeReason reason) noexcept;

}  // namespace four76
