// One line on standard error that names the file and the fault and says what to do.
#pragma once

#include <ostream>
#include <string>
#include <string_view>

namespace four76::cli {

// Control characters in a file's name must neither break the line nor steer the terminal.
inline std::string on_one_line(std::string_view text) {
  std::string line(text);
  for (char& c : line)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = '?';
  return line;
}

inline void complain(std::ostream& err, std::string_view fault) { err << "four76: " << on_one_line(fault) << '\n'; }

inline void complain(std::ostream& err, std::string_view file, std::string_view fault) {
  err << "four76: " << on_one_line(file) << ": " << on_one_line(fault) << '\n';
}

}  // namespace four76::cli
