// The loop of speed_bench.cpp as WebAssembly, under node.
#include <chrono>
#include <cstdio>

#include "tests/bench/tape_second.hpp"

int main() {
  using namespace four76::bench;
  using Clock = std::chrono::steady_clock;
  const std::vector<float> tape = worn_tape();
  four76::ToneSession session = listener();
  listen(session, tape);  // the engine compiles what runs often

  constexpr int kRounds = 10;
  const auto began = Clock::now();
  for (int round = 0; round < kRounds; ++round) listen(session, tape);
  const double taken_s = std::chrono::duration<double>(Clock::now() - began).count();
  std::printf("ToneSessionStereo48k as WebAssembly: %.0f times\n", kRounds * kTapeSeconds / taken_s);
  return session.dial(0).frequency_hz ? 0 : 1;
}
