// The possible error in words, term by term and in all.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "web/model.hpp"
#include "web/words/said.hpp"

namespace four76::words {

// The four terms; nothing where there is no budget.
[[nodiscard]] std::vector<BudgetLine> budget_terms(const Model& model);
[[nodiscard]] BudgetLine budget_sum(const Model& model);          // its name says what is left out
[[nodiscard]] std::string budget_of(const Model& model);          // which number it is of: "The mean of 10 s: +1.8 %"
[[nodiscard]] std::string in_all(const Model& model);             // for one line: "±0.02 %, tape not known"
[[nodiscard]] std::string amount(std::optional<double> percent);  // rounded up: "±0.012 %"

}  // namespace four76::words
