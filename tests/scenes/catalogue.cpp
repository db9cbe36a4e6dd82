#include "tests/scenes/catalogue.hpp"

#include <algorithm>
#include <cmath>

namespace four76::scenes {

namespace {

struct Kind {
  const char* name;
  std::vector<SceneClass> classes;
};

std::vector<Kind> kinds() {
  return {{"tone", tone_classes()},      {"surroundings", surroundings_classes()},
          {"device", device_classes()},  {"gaps", gap_classes()},
          {"tape", tape_classes()},      {"nothing", nothing_classes()},
          {"kitchen", kitchen_classes()}};
}

// FNV-1a over all that the scene follows from.
std::uint64_t seed_of(std::uint64_t seed, const std::string& scene_class, int number) {
  std::uint64_t hash = 14695981039346656037ULL;
  for (const char c : std::to_string(seed) + "/" + scene_class + "/" + std::to_string(number))
    hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  return hash;
}

// Whoever records sets the level so that it fits; what is to be clipped has been by now.
void keep_in_scale(Scene& scene) {
  float peak = 0.0F;
  for (const float x : scene.samples) peak = std::max(peak, std::abs(x));
  if (peak > 1.0F)
    for (float& x : scene.samples) x *= 0.9F / peak;
  if (scene.right) keep_in_scale(*scene.right);
}

}  // namespace

Start start(Draw& draw, double seconds, double rate_hz) {
  const double rate = rate_hz > 0.0 ? rate_hz : draw.pick({44100.0, 48000.0, 96000.0});
  Start s{Scene("", rate, seconds, draw.random()), {}, draw.log_between(0.01, 0.3)};
  s.scene.nominal_hz = draw.pick({3000.0, 3000.0, 3150.0});
  if (rate >= 22050.0 && draw.whole(0, 9) == 0) s.scene.nominal_hz = draw.pick({315.0, 440.0, 1000.0, 6300.0});
  s.tape.tone_hz = s.scene.nominal_hz;
  s.tape.error_percent = draw.between(-3.0, 2.4);
  s.tape.amplitude = s.amplitude;
  return s;
}

Start worn(Draw& draw, double seconds, double rate_hz) {
  Start s = start(draw, seconds, rate_hz);
  add_portable_wow(s.tape, draw.between(0.05, 0.3), seconds, draw.random);
  s.tape.level = random_process(draw.between(0.0, 0.7), 3.0, draw.random);
  return s;
}

std::vector<Listed> list_scenes(std::uint64_t seed, int per_class, const std::string& only) {
  std::vector<Listed> all;
  for (const Kind& kind : kinds())
    for (const SceneClass& of : kind.classes)
      for (int i = 0; i < per_class * of.times; ++i) {
        const std::string group = of.name;
        const std::string name = group + " " + std::to_string(i);
        if (!only.empty() && only != name && only != group && only != kind.name) continue;
        const auto make = [=, kind_name = std::string(kind.name), maker = of.make] {
          std::mt19937_64 random(seed_of(seed, group, i));
          Draw draw{random};
          Scene scene = maker(draw);
          scene.name = name;
          scene.group = group;
          scene.kind = kind_name;
          keep_in_scale(scene);
          if (scene.right) scene.right->name = name + " right";
          return scene;
        };
        all.push_back({name, make});
      }
  return all;
}

}  // namespace four76::scenes
