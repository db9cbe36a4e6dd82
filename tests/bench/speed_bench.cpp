// How many times faster than the tape runs the library measures, natively. "times" is seconds of stereo tape per
// second.
#include <benchmark/benchmark.h>

#include "tests/bench/stages.hpp"

namespace four76::bench {
namespace {

void play(benchmark::State& state, const Stage& stage) {
  for (auto _ : state) benchmark::DoNotOptimize(stage.play());
  state.counters["times"] =
      benchmark::Counter(kTapeSeconds * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
}

// What the page computes at each redraw beside the dial: the reading over everything heard.
void whole_reading(benchmark::State& state) {
  const std::vector<float> tape = worn_tape();
  ToneSession session = listener();
  listen(session, tape);
  for (auto _ : state) benchmark::DoNotOptimize(session.whole(0).frequency_hz);
}
BENCHMARK(whole_reading)->Unit(benchmark::kMicrosecond);

// The rows are made at run time, for node prints the same ones.
const bool registered = [] {
  for (const Stage& stage : stages())
    benchmark::RegisterBenchmark(stage.name, [stage](benchmark::State& state) {
      play(state, stage);
    })->Unit(benchmark::kMillisecond);
  return true;
}();

}  // namespace
}  // namespace four76::bench
