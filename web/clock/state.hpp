// ClockCheck: a check of the device's clock against a tone of known frequency, as the page shows it. Plain data.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "core/reading.hpp"
#include "core/records/clock_book.hpp"
#include "core/records/clock_correction.hpp"

namespace four76 {

// So long it tries before it gives up: enough for twice the least that a check rests on, and a late start.
inline constexpr double kLongestClockCheckS = 60.0;
inline constexpr double kLowestSourcePpm = 0.0, kHighestSourcePpm = 100.0;  // a worse source could not help

struct ClockCheck {
  enum class Stage : std::uint8_t {
    listening,  // or waiting for the microphone
    found,      // the correction waits to be kept
    kept,
    refused,  // see fault; or the microphone failed, see Model::failure
  };
  Stage stage = Stage::listening;
  double known_hz = 1000.0;     // that the source plays
  double source_u95_ppm = 0.0;  // how true it is

  double heard_s = 0.0;                   // of tone that counts
  std::optional<ClockCorrection> so_far;  // what was found until now, or in the end
  std::optional<ClockFault> fault;        // why it was refused
  ReasonList reasons;                     // of the last reading
  double sample_rate_hz = 0.0;            // of the capture, as stated
  std::string input;                      // its device's name
};

struct ClockBench {
  ClockBook kept;                   // checked on this device
  bool set_aside = false;           // what was kept of them could not be read
  std::optional<ClockCheck> check;  // under way, or its result
};

}  // namespace four76
