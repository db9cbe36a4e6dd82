// The rows of speed_bench.cpp with a main of their own, as WebAssembly under node and natively: one line a row, its
// name and how many times faster than the tape runs it is. The best of several rounds: other programs only ever slow it
// down.
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>

#include "tests/bench/stages.hpp"

int main() {
  using namespace four76::bench;
  using Clock = std::chrono::steady_clock;
  bool sound = true;
  for (const Stage& stage : stages()) {
    sound = std::isfinite(stage.play()) && sound;  // the engine compiles what runs often
    double best = 0.0;
    for (int round = 0; round < 7; ++round) {
      const auto began = Clock::now();
      sound = std::isfinite(stage.play()) && sound;
      best = std::max(best, kTapeSeconds / std::chrono::duration<double>(Clock::now() - began).count());
    }
    std::printf("%s\t%.0f\n", stage.name, best);
  }
  return sound ? 0 : 1;
}
