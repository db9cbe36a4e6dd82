#include "web/clock/controls.hpp"

#include <string>
#include <variant>

#include "core/records/kept_lines.hpp"
#include "web/clock/update.hpp"
#include "web/controls.hpp"
#include "web/overloaded.hpp"

namespace four76 {
namespace {

// "1000;0.5": the source's frequency and how true it is in ppm.
std::optional<Intent> clock_to_check(std::string_view value) {
  const auto parting = value.find(';');
  if (parting == std::string_view::npos) return std::nullopt;
  const auto hz = parse_number(value.substr(0, parting)), ppm = parse_number(value.substr(parting + 1));
  if (!hz || !ppm) return std::nullopt;
  return intent::CheckClock{*hz, *ppm};
}

}  // namespace

std::optional<Intent> clock_button(std::string_view act) {
  if (act == "act-close-clock") return intent::CloseClockCheck{};
  if (act == "act-forget-clocks") return intent::ForgetBrokenClocks{};
  return std::nullopt;
}

std::optional<Intent> clock_control(std::string_view name, std::string_view value) {
  if (name == "check-clock") return clock_to_check(value);
  if (name == "keep-clock") return intent::KeepClock{std::string(value)};
  if (name == "forget-clock") {
    if (const auto index = index_of(value, kMostClocks)) return intent::ForgetClock{*index};
  }
  return std::nullopt;
}

void put_clock_usable(JsonWriter& json, const Model& model) {
  json.key("act-forget-clocks").value(model.clock.set_aside);
}

Effects carry_out(Model& model, const ClockIntent& intent) {
  namespace in = intent;
  return std::visit(Overloaded{
                        [&](const in::CheckClock& wanted) { return check_clock(model, wanted); },
                        [&](const in::KeepClock& keep) { return keep_clock(model, keep); },
                        [&](const in::ForgetClock& forget) { return forget_clock(model, forget.index); },
                        [&](const in::ForgetBrokenClocks&) { return forget_broken_clocks(model); },
                        [&](const in::CloseClockCheck&) { return close_clock_check(model); },
                    },
                    intent);
}

}  // namespace four76
