// The mirror's details: what to do, how far off the number may be in all, and the clock.
#include <optional>

#include "web/budget/budget.hpp"
#include "web/mirror_parts.hpp"
#include "web/words.hpp"

namespace four76 {
namespace {

void put_line(JsonWriter& json, const words::BudgetLine& line) {
  json.open('{');
  json.key("name").value(line.name);
  json.key("amount").value(line.amount);
  json.key("note").value(line.note);
  json.close('}');
}

std::string_view name_of(ClockCheck::Stage stage) {
  switch (stage) {
    case ClockCheck::Stage::listening: return "listening";
    case ClockCheck::Stage::found: return "found";
    case ClockCheck::Stage::kept: return "kept";
    case ClockCheck::Stage::refused: return "refused";
  }
  return "";
}

}  // namespace

void put_advice(JsonWriter& json, const Model& model) {
  const Reading* const shown = shown_reading(model);
  json.key("advice").open('[');
  if (shown) {
    for (const Reason reason : shown->reasons) {
      const words::Advice advice = words::advice(reason, model);
      json.open('{');
      json.key("reason").value(four76::name_of(reason));
      json.key("what").value(advice.what);
      json.key("todo").value(advice.todo);
      json.close('}');
    }
  }
  put_song_advice(json, model);
  json.close(']');
  json.key("doubt").value(model.capture ? words::processing_doubt(*model.capture) : "");
}

void put_budget(JsonWriter& json, const Model& model) {
  const ErrorBudget terms = budget(model).value_or(Budget{}).terms;
  json.key("budget").open('{');
  json.key("noise_percent").value(terms.noise_percent);
  json.key("wow_percent").value(terms.wow_percent);
  json.key("clock_percent").value(terms.clock_percent);
  json.key("tape_percent").value(terms.tape_percent);
  json.key("sum_percent").value(terms.sum_percent);
  json.key("of").value(words::budget_of(model));
  json.key("terms").open('[');
  for (const words::BudgetLine& line : words::budget_terms(model)) put_line(json, line);
  json.close(']');
  json.key("sum");
  put_line(json, words::budget_sum(model));
  json.close('}');
}

void put_clock(JsonWriter& json, const Model& model) {
  json.key("clock").open('{');
  json.key("stage").value(model.clock_check ? name_of(model.clock_check->stage) : "");
  json.key("said").value(words::clock_said(model));
  json.key("progress")
      .value(checks_clock(model) ? std::optional(model.clock_check->heard_s / kShortestClockCheck_s) : std::nullopt);
  std::optional<double> fast_ppm, u95_ppm;
  if (model.clock_check && model.clock_check->so_far) {
    fast_ppm = model.clock_check->so_far->fast_ppm;
    u95_ppm = model.clock_check->so_far->u95_ppm;
  }
  json.key("fast_ppm").value(fast_ppm);
  json.key("u95_ppm").value(u95_ppm);
  const CheckedClock* const used = clock_in_use(model);
  json.key("corrected_ppm").value(used ? std::optional(used->correction.fast_ppm) : std::nullopt);
  json.key("kept").open('[');
  for (const CheckedClock& clock : model.clocks) json.value(words::kept_clock(clock));
  json.close(']').close('}');
}

}  // namespace four76
