// SongMatch: whether a tape plays the reference's own recording, and how fast.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "core/song/song_fit.hpp"
#include "core/song/tape_losses.hpp"

namespace four76 {

enum class SongStatus : std::uint8_t { not_matched, unreliable, matched };
enum class SongReason : std::uint8_t {
  too_quiet,            // next to nothing on the tape
  too_short,            // under ten seconds of tape, or of reference
  different_recording,  // the song is alike, the recording another
  too_little_overlap,   // most of the tape is not in the reference
  tape_dropout,         // stretches of the tape were stepped over
  tape_edit,            // the tape or the reference was cut; the line was continued behind
  not_steady,           // the speed is not known enough for the tolerance
  capture_gap,          // the device that captured the tape lost samples, or doubled some
};
std::string_view name_of(SongStatus status) noexcept;
std::string_view name_of(SongReason reason) noexcept;

struct SongMatch {
  SongStatus status = SongStatus::not_matched;
  std::vector<SongReason> reasons;
  std::optional<SongFit> fit;               // present where something was followed; a figure only as the status says
  std::optional<double> second_best_ratio;  // next-best place's agreement beyond chance, of the best one's
  DelayPath path;                           // for the picture
};

inline constexpr double kLongestReference_s = 600.0;
inline constexpr double kLongestTape_s = 120.0;  // more is not used
inline constexpr double kShortestTape_s = 10.0;

// A speed decides about a tolerance where its u95 is at most a fifth of it (common practice for test equipment: at
// least four to one).
inline constexpr double kWorstShareOfTolerance = 0.2;
inline constexpr double kUsualTolerance_percent = 0.5;  // common practice: service check
[[nodiscard]] constexpr bool is_known_enough(double u95_percent, double tolerance_percent) noexcept {
  return u95_percent <= kWorstShareOfTolerance * tolerance_percent;
}

// Both at kSongRate_hz, no longer than the above; `lost` is what was found missing of that tape. `keep_on` is asked now
// and then with the share done, 0 to 1; false gives up, and the result is nothing. The match is held against the usual
// tolerance.
std::optional<SongMatch> match_song(std::span<const float> reference, std::span<const float> tape,
                                    const std::function<bool(double)>& keep_on = {}, const LostSamples& lost = {});
// Holds what was matched against another tolerance: unreliable, `not_steady`, where it is not known enough for that.
void hold_against(SongMatch& match, double tolerance_percent);

}  // namespace four76
