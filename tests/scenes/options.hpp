// The words that benchmarks over scenes are started with: [SEED] [SCENES A CLASS] [ONLY] [--jobs N]
#pragma once

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <vector>

namespace four76::scenes {

struct Options {
  std::uint64_t seed = 1;
  int per_class = 8;
  std::string only;
  int jobs = 1;
};

// Takes "--name value" out of the words; empty where it is not there.
inline std::string take(std::vector<std::string>& words, const std::string& name) {
  const auto at = std::find(words.begin(), words.end(), name);
  if (at == words.end() || at + 1 == words.end()) return {};
  const std::string value = *(at + 1);
  words.erase(at, at + 2);
  return value;
}

// The whole number at that place among the words; `otherwise` where there is none.
inline std::uint64_t number_at(const std::vector<std::string>& words, std::size_t place, std::uint64_t otherwise) {
  return place < words.size() ? std::strtoull(words[place].c_str(), nullptr, 10) : otherwise;
}

// How many threads: "--jobs N", taken out of the words; one where it is not there.
inline int take_jobs(std::vector<std::string>& words) {
  return std::clamp(std::atoi(take(words, "--jobs").c_str()), 1, 64);
}

inline Options options_of(std::vector<std::string> words) {
  Options options;
  options.jobs = take_jobs(words);
  options.seed = number_at(words, 0, options.seed);
  if (words.size() > 1) options.per_class = std::max(1, std::atoi(words[1].c_str()));
  if (words.size() > 2) options.only = words[2];
  return options;
}

}  // namespace four76::scenes
