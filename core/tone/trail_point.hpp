// TrailPoint: one point of the line on the ribbon: the live dial's reading at a time.
#pragma once

#include "core/reading.hpp"

namespace four76 {

struct TrailPoint {
  double time_s = 0.0;               // of the newest sample used
  Status status = Status::no_tone;   //
  double speed_error_percent = 0.0;  // meaningful only where status is not no_tone
  double u95_percent = 0.0;          // likewise
};

}  // namespace four76
