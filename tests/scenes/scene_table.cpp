// Prints how the instrument does on the catalogue of scenes: the scenes that went wrong, one row a class, and the
// promised figures.
//   four76_scenes [SEED] [SCENES A CLASS] [ONLY] [--jobs N]
// ONLY names a scene ("hum 3"), a class ("hum") or a kind ("tone", "surroundings", "device", "gaps", "tape", "nothing",
// "kitchen").
// Promised, or the status is 1: each figure of tests/scenes/figures.cpp that has a limit. That the ± are no wider than
// need be is for four76_reliability.
#include <cstdio>
#include <exception>
#include <string>
#include <vector>

#include "tests/scenes/figures.hpp"
#include "tests/scenes/options.hpp"

namespace {

using namespace four76::scenes;

void print_row(const Row& row) {
  const Score& s = row.score;
  std::printf("%-16s %4d %4d %4d %4d | %4d %4d %4d | %3d/%3d %3d | %3d %3d/%3d %3d/%3d | %9.6f | %3ld %4ld %4ld/%6ld\n",
              row.name.c_str(), s.channels, s.measured, s.unreliable, s.no_tone, s.inside, s.inside_set, s.silent_wrong,
              s.wrongly_withheld, s.plain, s.wrongly_measured, s.named_first, s.named, s.nameable, s.told, s.troubled,
              median(s.u95_percent), s.dial_off, s.dial_off_set, s.dial_off_true, s.dial_rows);
}

void print_table(const std::vector<Played>& all) {
  std::printf("\n%-16s %4s %4s %4s %4s | %4s %4s %4s | %7s %3s | %3s %7s %7s | %9s | %s\n", "class", "n", "meas",
              "unre", "none", "u95", "set", "sil!", "withh!", "ms!", "1st", "named", "told", "u95 med %",
              "dial off, set, true");
  for (const Row& row : rows_by_class(all)) print_row(row);
}

}  // namespace

int main(int argc, char** argv) try {
  const Options options = options_of({argv + 1, argv + argc});
  const auto list = list_scenes(options.seed, options.per_class, options.only);
  const auto all = play_all(list, options.jobs, list.size() == 1);
  for (const Played& played : all)
    for (const std::string& line : played.lines) std::printf("%s\n", line.c_str());
  print_table(all);
  std::printf("\n%zu scenes, seed %llu\n", all.size(), static_cast<unsigned long long>(options.seed));
  bool hold = true;
  for (const Figure& figure : figures_of(all)) {
    std::printf("%s\n", line_of(figure).c_str());
    hold = hold && figure.holds();
  }
  return hold ? 0 : 1;
} catch (const std::exception& fault) {
  std::fprintf(stderr, "four76_scenes: %s\n", fault.what());
  return 2;
}
