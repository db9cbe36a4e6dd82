// What words are made of: a figure, a piece of advice, a line of a list, a hint. Plain data.
#pragma once

#include <cstdint>
#include <string>

namespace four76::words {

struct Figure {
  std::string number;  // "+1.82"
  std::string unit;    // "%"
};

struct Advice {
  std::string what;  // "Something hums: mains hum lies beside the tone."
  std::string todo;  // "Use a cable, or move the phone away from transformers."
};

struct BudgetLine {
  std::string name;    // "Wow"
  std::string amount;  // "±0.012 %", "not known", "none"
  std::string note;    // a sentence
};

// The sentence on what to do now, and which way.
enum class Way : std::uint8_t { none, slower, faster, leave, wait, distrust };
struct Hint {
  Way way = Way::none;
  std::string text;    // "Runs 1.8 % fast: slow it down"
  std::string detail;  // a further sentence, may be empty
};

}  // namespace four76::words
