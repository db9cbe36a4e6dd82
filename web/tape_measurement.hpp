// TapeMeasurement: half a minute of tone at the start or the end of a tape, as service manuals ask for (common
// practice), and the run that makes one.
#pragma once

#include <cstdint>

#include "core/flutter/flutter_figures.hpp"
#include "core/reading.hpp"

namespace four76 {

enum class TapeEnd : std::uint8_t { start, end };

inline constexpr double kMeasureS = 30.0;  // DIN 45500: the mean over 30 s

struct TapeMeasurement {
  double nominal_hz = 3000.0;
  Reading whole;
  FlutterReading flutter;
};

struct MeasureRun {
  enum class Stage : std::uint8_t { listening, refused };
  Stage stage = Stage::listening;
  double heard_s = 0.0;  // of tone that counts
  bool lost = false;     // no tone at the moment, though there was one
  int losses = 0;
  ReasonList reasons;  // why it was refused
};

}  // namespace four76
