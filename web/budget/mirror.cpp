#include "web/budget/mirror.hpp"

#include <optional>

#include "web/budget/budget.hpp"
#include "web/budget/words.hpp"

namespace four76 {
namespace {

void put_line(JsonWriter& json, const words::BudgetLine& line) {
  json.open('{');
  json.key("name").value(line.name);
  json.key("amount").value(line.amount);
  json.key("note").value(line.note);
  json.close('}');
}

}  // namespace

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

}  // namespace four76
