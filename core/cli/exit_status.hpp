// The exit status of four76, the same for every command.
#pragma once

namespace four76::cli {

inline constexpr int kDone = 0;       // measured (any channel), or written
inline constexpr int kBadUsage = 2;   // the command line asks for what cannot be done
inline constexpr int kFileFault = 3;  // a file cannot be read or written
inline constexpr int kNoReading = 4;  // no reading that can be trusted

}  // namespace four76::cli
