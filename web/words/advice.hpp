// What is wrong and what to do.
#pragma once

#include <optional>
#include <string_view>

#include "web/model.hpp"
#include "web/words/said.hpp"

namespace four76::words {

[[nodiscard]] Advice advice(Reason reason, const Model& model);
[[nodiscard]] Advice advice(const Failure& failure, Platform platform);
[[nodiscard]] std::optional<Advice> advice(const Interrupted& interrupted);
// The button that does again what failed: its id.
[[nodiscard]] std::string_view again(const Model& model) noexcept;

}  // namespace four76::words
