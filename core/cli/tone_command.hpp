// `four76 tone OUT.wav`: a test tone of an exact frequency, for trying out the measurement and for recording onto tape.
#pragma once

#include <iosfwd>
#include <string>

namespace four76::cli {

struct ToneOptions {
  std::string file;
  double tone_hz = 3000.0;
  double seconds = 30.0;
  double rate_hz = 48000.0;
  double level_dbfs = -12.0;  // a full-scale sine is 0 dBFS
};

// Complaints go to `err`; returns the exit status.
int run_tone(const ToneOptions& options, std::ostream& err);

}  // namespace four76::cli
