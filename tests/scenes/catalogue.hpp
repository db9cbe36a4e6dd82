// The catalogue: every class of trouble at several levels, lengths and sample rates, one scene at a time.
//
// A scene follows from the seed, the name of its class and its number in the class, and from nothing else.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "tests/scenes/scene.hpp"

namespace four76::scenes {

// Chance, for the classes.
struct Draw {
  std::mt19937_64& random;
  double between(double a, double b) { return std::uniform_real_distribution<double>(a, b)(random); }
  double log_between(double a, double b) { return std::exp(between(std::log(a), std::log(b))); }
  int whole(int a, int b) { return a + static_cast<int>(random() % static_cast<std::uint64_t>(b - a + 1)); }
  double sign() { return (random() & 1U) != 0U ? 1.0 : -1.0; }
  template <typename T>
  T pick(std::initializer_list<T> of) {
    return *(of.begin() + static_cast<std::ptrdiff_t>(random() % of.size()));
  }
};

// A scene before its tape is played: the class adds to both.
struct Start {
  Scene scene;
  Tape tape;
  double amplitude = 0.1;
};
Start start(Draw& draw, double seconds, double rate_hz = 0.0);  // a tone without wow; rate 0: 44.1, 48 or 96 kHz
Start worn(Draw& draw, double seconds, double rate_hz = 0.0);   // with a portable's wow and level

struct SceneClass {
  const char* name;
  Scene (*make)(Draw&);
  int times = 1;  // as many scenes as other classes have: where a median is promised
};
std::vector<SceneClass> tone_classes();
std::vector<SceneClass> surroundings_classes();
std::vector<SceneClass> device_classes();
std::vector<SceneClass> gap_classes();
std::vector<SceneClass> tape_classes();
std::vector<SceneClass> nothing_classes();
std::vector<SceneClass> kitchen_classes();

// The name, class and number of every scene, and the scene itself when asked.
struct Listed {
  std::string name;  // "hum 3"
  std::function<Scene()> make;
};
// `only`: a scene ("hum 3"), a class ("hum") or a kind ("device"); empty: all.
std::vector<Listed> list_scenes(std::uint64_t seed, int per_class, const std::string& only = "");

}  // namespace four76::scenes
