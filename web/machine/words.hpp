// Timed measurements in words: where, how they stand, what was kept on the card.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "web/model.hpp"
#include "web/words/said.hpp"

namespace four76::words {

[[nodiscard]] std::string tape_at_hand(const Model& model);            // "3000 Hz, 0.5 %": and what is good
[[nodiscard]] std::string_view place_name(TapePlace place) noexcept;   // "Start of tape"
[[nodiscard]] std::string_view stage_name(VisitStage stage) noexcept;  // "As found"
[[nodiscard]] std::string measure_name(const Model& model);            // of the button
[[nodiscard]] std::string visit_kept(const Measurement& visit);        // "As found, 1.20 % slow: on the card."
[[nodiscard]] std::string visit_refused(const Model& model);
[[nodiscard]] std::string_view cards_said(CardsState state) noexcept;  // empty where all is well
[[nodiscard]] std::string measure_invitation();
[[nodiscard]] std::string speed_moved();                              // what is kept is a mean of more than one speed
[[nodiscard]] std::string measure_said(const Model& model);           // how it stands, or why it was refused
[[nodiscard]] std::optional<Hint> measure_hint(const Model& model);   // while it runs: "Hands off, 22 s"
[[nodiscard]] std::vector<std::string> measured(const Model& model);  // a line for each place
[[nodiscard]] std::string measured_difference(const Model& model);    // between two places; empty without

}  // namespace four76::words
