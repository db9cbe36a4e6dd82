// Prints stated against actual coverage of the readings by kind of scene, and draws it where a file is named.
//   four76_reliability [SEED] [SCENES A CLASS] [ONLY] [--jobs N] [--svg FILE]
#include <cstdio>
#include <exception>
#include <fstream>

#include "tests/bench/reliability_picture.hpp"
#include "tests/scenes/options.hpp"

int main(int argc, char** argv) try {
  using namespace four76;
  const scenes::Options options = scenes::options_of({argv + 1, argv + argc});
  const auto list = scenes::list_scenes(options.seed, options.per_class, options.only);
  const auto curves = scenes::reliability_of(scenes::play_all(list, options.jobs, false));
  std::printf("%zu scenes, seed %llu: actual coverage in percent, by kind of scene and stated coverage\n\n%-14s %8s",
              list.size(), static_cast<unsigned long long>(options.seed), "kind", "readings");
  for (const scenes::Level& level : scenes::kLevels) std::printf(" %5.0f %%", level.stated_percent);
  std::printf("   RMS error / u95 (0.51 is exact)\n");
  for (const scenes::Reliability& curve : curves) {
    std::printf("%-14s %8d", curve.name.c_str(), curve.count);
    for (const double percent : curve.actual_percent) std::printf(" %7.1f", percent);
    std::printf("   %.3f\n", curve.rms_of_u95);
  }
  if (options.svg.empty()) return 0;
  std::ofstream file(options.svg);
  file << bench::reliability_picture(curves);
  if (!file.flush()) throw std::runtime_error("the picture could not be written to " + options.svg);
  return 0;
} catch (const std::exception& fault) {
  std::fprintf(stderr, "four76_reliability: %s\n", fault.what());
  return 2;
}
