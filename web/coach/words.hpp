// What the page says while a machine is worked on: the coach, the long watch, the screw.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "web/model.hpp"
#include "web/words/said.hpp"

namespace four76::words {

// Where the coach knows more than the verdict on the speed.
[[nodiscard]] std::optional<Hint> coach_hint(const Model& model);
// What the coach says before the first turn, and when it is time to stop: the hint says it where the coach is unfolded.
[[nodiscard]] std::optional<Hint> coach_begins(const Model& model);
[[nodiscard]] Hint coach_says(const Model& model);         // always something: to be read from afar
[[nodiscard]] std::string screw_text(const Model& model);  // "Clockwise is faster."; empty where nothing is known

// The long watch, over minutes to hours (watch_words.cpp).
struct WatchWords {
  std::string large, detail;
  std::vector<std::string> gaps;
};
[[nodiscard]] WatchWords watch_says(const Model& model);

}  // namespace four76::words
