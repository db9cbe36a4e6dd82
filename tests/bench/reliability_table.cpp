// Prints stated against actual coverage of the readings by kind of scene, or by class, and what is promised of all
// scenes.
//   four76_reliability [SEED] [SCENES A CLASS] [ONLY] [--by class] [--jobs N] [--table FILE] [--svg FILE]
// Promised, or the status is 1: what tests/scenes/figures.cpp says, and that the machine's own speed lies within u95 in
// 95 of 100 readings with an RMS error of 0.40 to 0.56 of it: 0.51 is exact, less is too wide and more too narrow.
#include <cstdio>

#include "tests/bench/markdown_table.hpp"
#include "tests/bench/plot.hpp"
#include "tests/bench/promises.hpp"
#include "tests/bench/proof_files.hpp"
#include "tests/bench/reliability_picture.hpp"
#include "tests/scenes/figures.hpp"
#include "tests/scenes/options.hpp"

namespace {

using namespace four76;

std::string markdown(const std::vector<scenes::Reliability>& curves) {
  std::vector<std::string> heads{"kind of scene", "readings"};
  for (const scenes::Level& level : scenes::kLevels) heads.push_back(bench::decimal(level.stated_percent) + " %");
  heads.emplace_back("RMS error / ±");
  bench::MarkdownTable table(heads);
  for (const scenes::Reliability& curve : curves) {
    std::vector<std::string> cells{curve.name, std::to_string(curve.count)};
    for (const double percent : curve.actual_percent) cells.push_back(bench::decimal(percent, 1));
    cells.push_back(bench::decimal(curve.rms_of_u95, 3));
    table.row(cells);
  }
  return table.text();
}

bench::Promise promise_of(const scenes::Figure& figure) {
  const bool in_percent = figure.name.find('%') != std::string::npos;
  const int places = !in_percent ? 0 : figure.limit > 0.0 && figure.limit < 0.1 ? 6 : 2;
  const bench::Written as{places, in_percent ? " %" : ""};
  const std::string found = as(figure.value) + " (" + figure.of + ")";
  const std::string name = figure.name.substr(figure.name.find_first_not_of(' '));  // some are set in where printed
  if (!figure.limited) return bench::stated(name, found);
  return {name, (figure.at_least ? "at least " : "at most ") + as(figure.limit), found, figure.holds()};
}

bench::Promises promises_of(const std::vector<scenes::Played>& all, const scenes::Reliability& curve) {
  const std::size_t at_95 = 4;
  static_assert(scenes::kLevels[4].stated_percent == 95.0);
  bench::Promises promises{
      bench::at_least("machine's own speed inside u95", curve.actual_percent[at_95], 95.0, {1, " %"}),
      bench::between("RMS error from the machine's own speed, over u95", curve.rms_of_u95, 0.40, 0.56, {3, ""})};
  for (const scenes::Figure& figure : scenes::figures_of(all)) promises.push_back(promise_of(figure));
  return promises;
}

}  // namespace

int main(int argc, char** argv) {
  return bench::run_for_proof(
      "four76_reliability", argc, argv, [](std::vector<std::string> words, const bench::ProofFiles& files) {
        const auto rows = scenes::take(words, "--by") == "class" ? scenes::Rows::classes : scenes::Rows::kinds;
        const scenes::Options options = scenes::options_of(words);
        const auto list = scenes::list_scenes(options.seed, options.per_class, options.only);
        const auto all = scenes::play_all(list, options.jobs, false);
        const auto curves = scenes::reliability_of(all, rows);
        std::printf(
            "%zu scenes, seed %llu: actual coverage in percent, by kind of scene and stated coverage\n\n%-17s %8s",
            list.size(), static_cast<unsigned long long>(options.seed), "scenes", "readings");
        for (const scenes::Level& level : scenes::kLevels) std::printf(" %5.0f %%", level.stated_percent);
        std::printf("   RMS error / u95 (0.51 is exact)\n");
        for (const scenes::Reliability& curve : curves) {
          std::printf("%-17s %8d", curve.name.c_str(), curve.count);
          for (const double percent : curve.actual_percent) std::printf(" %7.1f", percent);
          std::printf("   %.3f\n", curve.rms_of_u95);
        }
        return files.write(
            promises_of(all, curves.back()), [&] { return markdown(curves); },
            [&] { return bench::reliability_picture(curves); });
      });
}
