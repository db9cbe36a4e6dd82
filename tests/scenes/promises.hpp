// Promises: what a program promises, each printed with whether it held; the program's exit status follows.
#pragma once

#include <cmath>
#include <cstdio>

namespace four76::scenes {

class Promises {
 public:
  template <typename... Values>
  void keep(bool holds, const char* format, Values... values) {
    char text[256];
    std::snprintf(text, sizeof text, format, values...);
    std::printf("%s  %s\n", holds ? "held  " : "BROKEN", text);
    ++made_;
    broken_ += holds ? 0 : 1;
  }
  // Says how many held; 1 where one did not, or where there was none.
  [[nodiscard]] int status() const {
    std::printf("%d of %d promises held\n", made_ - broken_, made_);
    return made_ > 0 && broken_ == 0 ? 0 : 1;
  }

 private:
  int made_ = 0, broken_ = 0;
};

// Of `count` intervals of which each holds with 95 %, so many hold at least in 99 runs of 100 (binomial distribution).
inline int least_held(int count) {
  double chance = std::pow(0.95, count);  // that all hold; then one fewer at a time
  double above = 0.0;
  int held = count;
  for (; held > 0; --held) {
    above += chance;
    if (above >= 0.99) break;
    chance *= static_cast<double>(held) / (count - held + 1) * (0.05 / 0.95);
  }
  return held;
}

}  // namespace four76::scenes
