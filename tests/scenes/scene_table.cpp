// Prints how the instrument does on the catalogue of scenes, one row a class, after the scenes that went wrong.
// Usage: four76_scenes [seed] [scenes a class] [only this scene, e.g. "hum 3"]
#include <cstdio>
#include <cstdlib>
#include <map>
#include <string>
#include <vector>

#include "tests/scenes/score.hpp"

namespace {

using four76::scenes::Outcome;
using four76::scenes::Scene;
using four76::scenes::Score;

void print_row(const std::string& name, const Score& s) {
  std::printf("%-16s %4d %5d %5d %5d | %6d %6d %6d | %6d %6d | %3d/%3d %3d/%3d | %9.6f %4ld/%5ld\n", name.c_str(),
              s.scenes, s.measured, s.unreliable, s.no_tone, s.inside, s.inside_set, s.silent_wrong, s.wrongly_withheld,
              s.wrongly_measured, s.named, s.nameable, s.told, s.troubled, s.median_u95_percent(), s.dial_rows_off,
              s.dial_rows);
}

bool worth_a_line(const Score& s) {
  return s.inside < s.measured || s.silent_wrong != 0 || s.wrongly_withheld != 0 || s.wrongly_measured != 0 ||
         s.named < s.nameable;
}

}  // namespace

int main(int argc, char** argv) {
  const auto seed = static_cast<std::uint64_t>(argc > 1 ? std::strtoull(argv[1], nullptr, 10) : 1);
  const int per_class = argc > 2 ? static_cast<int>(std::strtol(argv[2], nullptr, 10)) : 10;
  const std::string only = argc > 3 ? argv[3] : "";
  std::map<std::string, Score> rows;
  std::vector<std::string> order;
  Score all;
  four76::scenes::for_each_scene(seed, per_class, only, [&](const Scene& scene) {
    if (!rows.contains(scene.group)) order.push_back(scene.group);
    const Outcome outcome = four76::scenes::play(scene);
    rows[scene.group].add(outcome.score);
    all.add(outcome.score);
    if (!only.empty() || worth_a_line(outcome.score))
      std::printf("%s\n", four76::scenes::describe(scene, outcome).c_str());
  });
  std::printf("\n%-16s %4s %5s %5s %5s | %6s %6s %6s | %6s %6s | %7s %7s | %9s %10s\n", "class", "n", "meas", "unrel",
              "none", "in u95", "in set", "silent", "withh!", "meas!", "named", "told", "u95 med %", "dial off");
  for (const std::string& group : order) print_row(group, rows[group]);
  print_row("all", all);
  return 0;
}
