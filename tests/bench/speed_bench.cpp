// How many times faster than the tape runs the library measures, natively. "times" is seconds of tape per second.
#include <benchmark/benchmark.h>

#include "tests/bench/tape_second.hpp"

namespace four76::bench {
namespace {

void ToneSessionStereo48k(benchmark::State& state) {
  const std::vector<float> tape = worn_tape();
  ToneSession session = listener();
  for (auto _ : state) {
    listen(session, tape);
    benchmark::DoNotOptimize(session.dial(0).frequency_hz);
  }
  state.counters["times"] =
      benchmark::Counter(kTapeSeconds * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
}
BENCHMARK(ToneSessionStereo48k)->Unit(benchmark::kMillisecond);

// What the page computes at each redraw beside the dial: the reading over everything heard.
void WholeReading(benchmark::State& state) {
  const std::vector<float> tape = worn_tape();
  ToneSession session = listener();
  listen(session, tape);
  for (auto _ : state) benchmark::DoNotOptimize(session.whole(0).frequency_hz);
}
BENCHMARK(WholeReading)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace four76::bench
