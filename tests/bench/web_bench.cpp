// The rows of speed_bench.cpp with a main of their own, as WebAssembly under node and natively: one line a row, its
// name and how many times faster than the tape runs it is. By the processor's time, and the best of several rounds:
// other programs only ever slow it down.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>

#include "tests/bench/stages.hpp"

#ifdef __EMSCRIPTEN__
#include <emscripten.h>
#endif

namespace {

double processor_s() {
#ifdef __EMSCRIPTEN__
  // Emscripten's clock() tells the time of day.
  return EM_ASM_DOUBLE({
    const used = process.cpuUsage();
    return (used.user + used.system) / 1e6;
  });
#else
  return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
#endif
}

}  // namespace

int main() {
  using namespace four76::bench;
  bool sound = true;
  for (const Stage& stage : stages()) {
    sound = std::isfinite(stage.play()) && sound;  // the engine compiles what runs often
    double best = 0.0;
    for (int round = 0; round < 7; ++round) {
      const double began_s = processor_s();
      sound = std::isfinite(stage.play()) && sound;
      best = std::max(best, kTapeSeconds / (processor_s() - began_s));
    }
    std::printf("%s\t%.0f\n", stage.name, best);
  }
  return sound ? 0 : 1;
}
