// Wow and flutter in words: the figures, their noise, the rates.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "web/model.hpp"
#include "web/words/said.hpp"

namespace four76::words {

[[nodiscard]] std::string flutter_amount(const std::optional<FlutterFigure>& figure);  // "0.11 %", "below what can..."
[[nodiscard]] std::string drift_amount(const std::optional<Drift>& drift);             // "+0.12 ±0.02 % a minute"
[[nodiscard]] std::string noise_floor(const FlutterReading& all);                      // "0.012 %"
[[nodiscard]] std::optional<Figure> flutter_figure(const Model& model);                // the weighted one, large
[[nodiscard]] std::string flutter_state(const Model& model);              // in its place; empty where there is a figure
[[nodiscard]] std::string flutter_title(const Model& model);              // what it is
[[nodiscard]] std::vector<BudgetLine> flutter_lines(const Model& model);  // the other figures; without notes
[[nodiscard]] std::string flutter_noise(const Model& model);              // a sentence on the noise's share
[[nodiscard]] std::string rate_name(const FlutterPeak& peak);             // "7.6 Hz"
[[nodiscard]] std::string peak_name(const FlutterPeak& peak);             // "7.6 Hz, 0.08 %"
[[nodiscard]] std::string rates_title(const Model& model);                // of their spectrum
[[nodiscard]] std::string_view rates_state(const Model& model) noexcept;  // where there is none yet
[[nodiscard]] std::string components(std::span<const FlutterPeak> peaks);
[[nodiscard]] std::string_view way_to_flutter() noexcept;  // where a tap leads
[[nodiscard]] std::string_view way_to_speed() noexcept;

}  // namespace four76::words
