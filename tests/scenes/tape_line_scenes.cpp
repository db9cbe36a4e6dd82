// tape_line_scenes: how often lines on a tape are found, and lines of the room taken for the tape's.
//
//   tape_line_scenes [FIRST_SEED] [SEEDS] [KIND]      KIND: a kind's name, or a part of several; all without it
//
// Prints for each kind: how many were found, were said to be on the tape (above 0.9, below 0.1), the error's
// percentiles and how often the +- held. What a kind is stands in kinds().
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <string>
#include <vector>

#include "core/signal/gaussian_noise.hpp"
#include "core/song/rate_changer.hpp"
#include "core/tapes/lines/hum_lines.hpp"
#include "core/tapes/lines/line_scan.hpp"
#include "tests/scenes/line_scene.hpp"

namespace four76::scenes {
namespace {

constexpr double kLate_s = 0.5;  // the movement comes so long after its time

// Plays a scene in blocks, and hands over the movement as it comes.
template <class Block>
std::vector<Evidence> listen(Block& block, const PlayedScene& played, double rate_hz) {
  std::size_t next = 0;
  constexpr std::size_t kBlock = 480;
  for (std::size_t at = 0; at < played.samples.size(); at += kBlock) {
    const std::size_t count = std::min(kBlock, played.samples.size() - at);
    block.process(std::span(played.samples).subspan(at, count));
    const double now_s = static_cast<double>(at + count) / rate_hz;
    while (next < played.movement.size() && played.movement[next].time_s + kLate_s <= now_s)
      block.moved(played.movement[next++]);
  }
  return block.found();
}

struct Kind {
  std::string name;
  bool hum;
  std::function<void(LineScene&, GaussianNoise&)> set;
  std::optional<double> nominal_hz;  // of what is on the tape
};

double between(GaussianNoise& random, double low, double high) { return low + (high - low) * random.next_uniform(); }

std::vector<Kind> kinds() {
  const auto screen = [](LineScene& scene, GaussianNoise& random) {
    scene.room_line_hz = (random.next_uniform() < 0.5 ? kLineScan625_hz : kLineScan525_hz) *
                         (1.0 + 1e-6 * between(random, -100.0, 100.0));
    scene.room_line_db = between(random, -45.0, -15.0);
  };
  const auto tape625 = [](LineScene& scene, GaussianNoise&) { scene.tape_line_hz = kLineScan625_hz; };
  const auto hum50 = [](LineScene& scene, GaussianNoise& random) {
    scene.tape_hum_hz = 50.0 + between(random, -0.02, 0.02);
  };
  const auto machine50 = [](LineScene& scene, GaussianNoise& random) {
    scene.machine_hum_hz = 50.0 + between(random, -0.05, 0.05);
    scene.machine_hum_db = between(random, -40.0, -15.0);
  };
  return {
      {"line on the tape", false, tape625, kLineScan625_hz},
      {"line on the tape, movement walks", false,
       [=](LineScene& scene, GaussianNoise& random) {
         tape625(scene, random);
         scene.movement_error = MovementError::random_walk;
       },
       kLineScan625_hz},
      {"line on the tape, -45 dB", false,
       [=](LineScene& scene, GaussianNoise& random) {
         tape625(scene, random);
         scene.tape_line_db = -45.0;
       },
       kLineScan625_hz},
      {"line on the tape, -60 dB", false,
       [=](LineScene& scene, GaussianNoise& random) {
         tape625(scene, random);
         scene.tape_line_db = -60.0;
       },
       kLineScan625_hz},
      {"line on the tape and a screen", false,
       [=](LineScene& scene, GaussianNoise& random) {
         screen(scene, random);
         tape625(scene, random);
       },
       kLineScan625_hz},
      {"line on a tape that moves little", false,
       [=](LineScene& scene, GaussianNoise& random) {
         tape625(scene, random);
         scene.wow_rms = 0.00005;
         scene.drift_rms = 0.00002;
       },
       kLineScan625_hz},
      {"a screen", false, screen, std::nullopt},
      {"a screen, machine moves little", false,
       [=](LineScene& scene, GaussianNoise& random) {
         screen(scene, random);
         scene.wow_rms = 0.00005;
         scene.drift_rms = 0.00002;
       },
       std::nullopt},
      {"a steady tone anywhere", false,
       [](LineScene& scene, GaussianNoise& random) {
         scene.room_line_hz = between(random, 14400.0, 16950.0);
         scene.room_line_db = between(random, -45.0, -15.0);
       },
       std::nullopt},
      {"music, no line", false, [](LineScene&, GaussianNoise&) {}, std::nullopt},
      {"speech, no line", false,
       [](LineScene& scene, GaussianNoise&) {
         scene.music = false;
         scene.speech = true;
       },
       std::nullopt},
      {"hum on the tape", true, hum50, 50.0},
      {"hum on the tape, 60 Hz", true,
       [](LineScene& scene, GaussianNoise& random) { scene.tape_hum_hz = 60.0 + between(random, -0.02, 0.02); }, 60.0},
      {"hum on the tape, machine runs right", true,
       [=](LineScene& scene, GaussianNoise& random) {
         hum50(scene, random);
         scene.speed_error = between(random, -0.001, 0.001);
       },
       50.0},
      {"hum on the tape, movement walks", true,
       [=](LineScene& scene, GaussianNoise& random) {
         hum50(scene, random);
         scene.movement_error = MovementError::random_walk;
       },
       50.0},
      {"hum on the tape and the machine's", true,
       [=](LineScene& scene, GaussianNoise& random) {
         machine50(scene, random);
         hum50(scene, random);
       },
       50.0},
      {"the machine's hum", true, machine50, std::nullopt},
      {"the machine's hum, movement walks", true,
       [=](LineScene& scene, GaussianNoise& random) {
         machine50(scene, random);
         scene.movement_error = MovementError::random_walk;
       },
       std::nullopt},
      {"music, no hum", true, [](LineScene&, GaussianNoise&) {}, std::nullopt},
      {"one bass note, no hum", true,
       [](LineScene& scene, GaussianNoise& random) { scene.bass_hz = between(random, 46.0, 54.0); }, std::nullopt},
      {"speech, no hum", true,
       [](LineScene& scene, GaussianNoise&) {
         scene.music = false;
         scene.speech = true;
       },
       std::nullopt},
  };
}

struct Counts {
  int found = 0, on_tape = 0, in_room = 0, right = 0, held = 0;
  double highest = 0.0;
  std::vector<double> errors;
};

void play_one(const Kind& kind, std::uint64_t seed, double length_s, Counts& counts) {
  GaussianNoise random(seed * 104729 + 5);
  LineScene scene;
  scene.seed = seed;
  scene.length_s = length_s;
  scene.sample_rate_hz = kind.hum ? kSongRate_hz : 48000.0;
  scene.speed_error = between(random, -0.06, 0.06);
  scene.wow_rms = between(random, 0.0005, 0.003);
  scene.drift_rms = between(random, 0.0001, 0.001);
  kind.set(scene, random);
  const auto played = play(scene);
  std::vector<Evidence> found;
  if (kind.hum) {
    HumLines block;
    found = listen(block, played, scene.sample_rate_hz);
  } else {
    LineScan block({scene.sample_rate_hz, 1});
    found = listen(block, played, scene.sample_rate_hz);
  }
  if (found.empty()) return;
  ++counts.found;
  double on_tape = 0.0;
  for (const auto& evidence : found) on_tape += evidence.on_tape_probability;
  counts.on_tape += on_tape > 0.9;
  counts.in_room += on_tape < 0.1;
  counts.highest = std::max(counts.highest, on_tape);
  for (const auto& evidence : found) {
    if (!kind.nominal_hz || on_tape < 0.5 || std::abs(evidence.nominal_hz - *kind.nominal_hz) > 1.0) continue;
    const double truth_hz = (kind.hum ? *scene.tape_hum_hz : *scene.tape_line_hz) * played.mean_speed;
    const double error_percent = 100.0 * std::abs(evidence.measured_hz / truth_hz - 1.0);
    counts.errors.push_back(error_percent);
    counts.right += error_percent < (kind.hum ? 0.15 : 0.005);
    counts.held += error_percent < evidence.measured_u95_percent;
    if (std::getenv("FOUR76_EACH"))
      std::printf("  seed %llu: %.4f Hz, truth %.4f, u95 %.4f %%, on tape %.3f, speed %.2f %%\n",
                  static_cast<unsigned long long>(seed), evidence.measured_hz, truth_hz, evidence.measured_u95_percent,
                  evidence.on_tape_probability, 100.0 * scene.speed_error);
  }
  if (std::getenv("FOUR76_EACH") && !kind.nominal_hz)
    std::printf("  seed %llu: %.4f Hz on tape %.3f, speed %.2f %%, wow %.3f %%\n",
                static_cast<unsigned long long>(seed), found[0].measured_hz, on_tape, 100.0 * scene.speed_error,
                100.0 * scene.wow_rms);
}

void run(const Kind& kind, std::uint64_t first_seed, int seeds, double length_s) {
  Counts counts;
  for (int i = 0; i < seeds; ++i) play_one(kind, first_seed + static_cast<std::uint64_t>(i), length_s, counts);
  auto& errors = counts.errors;
  std::sort(errors.begin(), errors.end());
  const auto at = [&](double part) {
    return errors.empty() ? 0.0 : errors[static_cast<std::size_t>(part * static_cast<double>(errors.size() - 1))];
  };
  std::printf("%-36s found %3d of %3d, on tape %3d, in the room %3d, highest %.3f", kind.name.c_str(), counts.found,
              seeds, counts.on_tape, counts.in_room, counts.highest);
  if (kind.nominal_hz)
    std::printf("; right %3d, +- held %3d, error %% 50: %.4f 90: %.4f 95: %.4f 100: %.4f", counts.right, counts.held,
                at(0.5), at(0.9), at(0.95), at(1.0));
  std::printf("\n");
  std::fflush(stdout);
}

}  // namespace
}  // namespace four76::scenes

int main(int argc, char** argv) {
  const std::uint64_t first_seed = argc > 1 ? std::strtoull(argv[1], nullptr, 10) : 1;
  const int seeds = argc > 2 ? std::atoi(argv[2]) : 20;
  const std::string only = argc > 3 ? argv[3] : "";
  const double length_s = argc > 4 ? std::atof(argv[4]) : 31.0;
  const auto kinds = four76::scenes::kinds();
  const bool whole = std::any_of(kinds.begin(), kinds.end(), [&](const auto& kind) { return kind.name == only; });
  for (const auto& kind : kinds)
    if (whole ? kind.name == only : kind.name.find(only) != std::string::npos)
      four76::scenes::run(kind, first_seed, seeds, length_s);
  return 0;
}
