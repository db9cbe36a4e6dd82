// Prints stated against actual coverage of the readings by kind of scene, or by class.
//   four76_reliability [SEED] [SCENES A CLASS] [ONLY] [--by class] [--jobs N] [--table FILE] [--svg FILE]
#include <cstdio>

#include "tests/bench/markdown_table.hpp"
#include "tests/bench/plot.hpp"
#include "tests/bench/proof_files.hpp"
#include "tests/bench/reliability_picture.hpp"
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

}  // namespace

int main(int argc, char** argv) {
  return bench::run_for_proof(
      "four76_reliability", argc, argv, [](std::vector<std::string> words, const bench::ProofFiles& files) {
        const auto rows = scenes::take(words, "--by") == "class" ? scenes::Rows::classes : scenes::Rows::kinds;
        const scenes::Options options = scenes::options_of(words);
        const auto list = scenes::list_scenes(options.seed, options.per_class, options.only);
        const auto curves = scenes::reliability_of(scenes::play_all(list, options.jobs, false), rows);
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
        files.write([&] { return markdown(curves); }, [&] { return bench::reliability_picture(curves); });
        return 0;
      });
}
