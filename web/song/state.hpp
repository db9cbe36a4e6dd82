// SongBench: what the page shows where a song is the test tape. Plain data.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "core/records/tape_book.hpp"
#include "core/song/song_session.hpp"
#include "web/song/match/result.hpp"

namespace four76 {

inline constexpr double kShortestReference_s = kShortestTape_s;
inline constexpr double kQuietestReference_dbfs =
    -60.0;  // a peak below it: no music is that quiet (derived: 16 bits leave 30 dB)
inline constexpr double kAdvisedReference_s = 30.0;  // so that a tape at 10 % off and a late start still lie in it

struct SongReference {
  std::string name;  // of the file; empty where it was recorded
  double seconds = 0.0;
  bool recorded = false;  // through a microphone, so that its player's clock counts
  std::string input;      // the microphone's name and stated rate, where it was recorded
  double sample_rate_hz = 0.0;
};

enum class SongFile : std::uint8_t { none, reference, tape };     // what a file that is opened is to be
enum class SongCapture : std::uint8_t { none, reference, tape };  // what the microphone listens to

struct SongBench {
  std::optional<SongReference> reference;
  SongFile file = SongFile::none;           // opened last
  SongCapture capture = SongCapture::none;  // under way, or that failed
  double recorded_s = 0.0;
  std::optional<double> level_dbfs;    // the peak of what is recorded, of late
  std::optional<double> loudest_dbfs;  // and of all of it
  SongState state = SongState::silent;
  std::optional<double> position_s;  // in the reference, while it is followed
  std::optional<SongResult> result;  // of a tape's file

  TapeBook tapes;                // kept on this device
  bool tapes_set_aside = false;  // what was kept of them could not be read
  std::string machine;           // whose tapes are shown; empty where it has no name
  std::string keep_fault;        // why a result was not kept, in words
};

}  // namespace four76
