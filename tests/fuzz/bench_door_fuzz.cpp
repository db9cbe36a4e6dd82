// Any typed texts at all, put to every question of the bench: the answer is JSON that says what is wrong, or holds a
// visit that a card can keep.
#include <array>
#include <cstddef>
#include <cstdint>
#include <string>

#include "core/records/card.hpp"
#include "tests/fuzz/door_input.hpp"
#include "web/doors/bench.hpp"

namespace {
constexpr std::array<std::string_view, 4> kQuestions = {"bench-meter", "bench-timing", "bench-table", "bench-certify"};
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto input = four76::fuzz::door_input(data, size, kQuestions);
  const std::string answer = four76::ask_bench(input.what, input.texts);
  four76::fuzz::require_answer(answer);
  const auto json = four76::fuzz::told(answer);
  const four76::Json* const visit = json ? json->find("visit") : nullptr;
  if (!visit) return 0;
  four76::Json named = *visit;  // as the page does
  named.set("id", four76::Json::string("one")).set("time", four76::Json::string("2026-11-28 03:30"));
  const std::string cards =
      R"({"schema":"four76.cards/1","cards":[{"id":"deck","visits":[)" + four76::write_json(named) + "]}]}";
  const auto kept = four76::read_cards(cards);
  four76::fuzz::require(kept && kept->set_aside.empty());
  return 0;
}
