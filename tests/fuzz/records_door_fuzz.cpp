// Any cards, links and typed texts at all, put to every question of the records: the answer is JSON that says what is
// wrong, or one that can be put back in.
#include <array>
#include <cstddef>
#include <cstdint>

#include "core/records/card.hpp"
#include "tests/fuzz/door_input.hpp"
#include "web/doors/records.hpp"

namespace {
constexpr std::array<std::string_view, 8> kQuestions = {"read",   "merge", "csv",   "report",
                                                        "answer", "ask",   "filed", "no question"};
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto input = four76::fuzz::door_input(data, size, kQuestions);
  const std::string answer = four76::ask_records(input.what, input.texts);
  if (input.what == "csv") return 0;
  four76::fuzz::require_answer(answer);
  if (input.what != "read" && input.what != "merge") return 0;
  const auto json = four76::fuzz::told(answer);
  const four76::Json* const file = json ? json->find("file") : nullptr;
  if (!file) return 0;
  const auto again = four76::read_cards(four76::write_json(*file));
  four76::fuzz::require(again && again->set_aside.empty());
  return 0;
}
