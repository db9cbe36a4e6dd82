// The rows of speed_bench.cpp with a main of their own, as WebAssembly under node and natively: one line a row, its
// name and how many times faster than the tape runs it is. By the processor's time, and the best of several rounds:
// other programs only ever slow it down.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <span>
#include <vector>

#include "core/song/song_match.hpp"
#include "core/song/song_session.hpp"
#include "tests/bench/stages.hpp"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"

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

// 40 s of tape held against three minutes of song, once: it takes long enough; and the same tape followed live, with
// its dearest call: how many times its twentieth of a second that is.
bool time_song() {
  using namespace four76;
  const auto song = scenes::play_piece(scenes::Manner::band, 180.0, 5, {});
  scenes::SongTape tape;
  tape.error_percent = 1.3;
  tape.wow = {{0.8, 0.15, 0.0}, {4.0, 0.1, 1.0}};
  tape.from_s = 100.0;
  const std::vector<float> reference = scenes::at_song_rate(song, scenes::kPieceRate_hz);
  const std::vector<float> heard = scenes::at_song_rate(scenes::record(song, tape), tape.rate_hz);
  const double began_s = processor_s();
  const auto match = match_song(reference, heard);
  std::printf("song match\t%.1f\n", tape.seconds / (processor_s() - began_s));
  SongSession session({.sample_rate_hz = tape.rate_hz}, reference);
  const std::vector<float> sound = scenes::record(song, tape);
  const auto block = static_cast<std::size_t>(tape.rate_hz / 20.0);
  double all_s = 0.0;
  double dearest_s = 0.0;
  for (std::size_t at = 0; at + block <= sound.size(); at += block) {
    const double from_s = processor_s();
    session.process(std::span(sound).subspan(at, block));
    const double took_s = processor_s() - from_s;
    all_s += took_s;
    dearest_s = std::max(dearest_s, took_s);
  }
  std::printf("song live\t%.0f\nits dearest call\t%.2f\n", tape.seconds / all_s, dearest_s * 20.0);
  return match && match->status == SongStatus::matched && session.state() == SongState::following;
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
  sound = time_song() && sound;
  return sound ? 0 : 1;
}
