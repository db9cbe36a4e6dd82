// `four76 song REFERENCE TAPE`: how fast the machine ran that played a song which is also at hand as a file.
#pragma once

#include <iosfwd>
#include <optional>
#include <string>

#include "core/song/song_match.hpp"

namespace four76::cli {

struct SongOptions {
  std::string reference;
  std::string tape;
  std::optional<std::string> trace_file;
  double tolerance_percent = kUsualTolerance_percent;
  bool json = false;
};

// Output goes to `out`, complaints to `err`; returns the exit status.
int run_song(const SongOptions& options, std::ostream& out, std::ostream& err);

}  // namespace four76::cli
