#include "tests/scenes/reliability.hpp"

#include <cmath>

namespace four76::scenes {

namespace {

constexpr double kHalfWidthOfU95 = 1.9600;

Reliability of_ratios(std::string name, const std::vector<double>& ratios) {
  Reliability made{std::move(name), static_cast<int>(ratios.size()), {}, 0.0};
  if (ratios.empty()) return made;
  for (const double ratio : ratios) {
    made.rms_of_u95 += ratio * ratio;
    for (std::size_t i = 0; i < kLevels.size(); ++i)
      made.actual_percent[i] += std::abs(ratio) <= kLevels[i].half_width / kHalfWidthOfU95 ? 100.0 : 0.0;
  }
  const auto count = static_cast<double>(ratios.size());
  made.rms_of_u95 = std::sqrt(made.rms_of_u95 / count);
  for (double& percent : made.actual_percent) percent /= count;
  return made;
}

}  // namespace

std::vector<Reliability> reliability_of(const std::vector<Played>& all, Rows rows) {
  std::vector<std::pair<std::string, std::vector<double>>> parts;
  std::vector<double> every;
  for (const Played& played : all) {
    if (played.kind == "nothing") continue;
    const std::string& name = rows == Rows::kinds ? played.kind : played.group;
    if (parts.empty() || parts.back().first != name) parts.emplace_back(name, std::vector<double>());
    for (const Outcome& outcome : played.outcomes) {
      if (outcome.score.measured == 0 || outcome.score.wrongly_measured != 0) continue;
      const double ratio = outcome.off_set_percent / *outcome.reading.u95_percent;
      parts.back().second.push_back(ratio);
      every.push_back(ratio);
    }
  }
  std::vector<Reliability> curves;
  for (const auto& [name, ratios] : parts) curves.push_back(of_ratios(name, ratios));
  curves.push_back(of_ratios("all", every));
  return curves;
}

}  // namespace four76::scenes
