// The names of tones, tolerances, units, channels and peaks; how good a level or a noise is.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "web/model.hpp"

namespace four76::words {

[[nodiscard]] std::string_view trace_name(Trace trace) noexcept;
[[nodiscard]] std::string tone_name(double hz);                // "3150 Hz"
[[nodiscard]] std::string tolerance_name(double tolerance);    // "0.5 %, usual service adjustment, common practice"
[[nodiscard]] std::string_view unit_name(Unit unit) noexcept;  // "percent"
[[nodiscard]] std::string_view channel_name(ChannelChoice channel) noexcept;
[[nodiscard]] std::vector<std::string_view> first_steps();  // how to begin
[[nodiscard]] std::string measure_again(double hz);         // a file, after the tone was changed
[[nodiscard]] std::string file_lost();                      // its result could not be read
[[nodiscard]] std::string_view ask_tone_label() noexcept;
[[nodiscard]] std::string_view ask_tolerance_label() noexcept;
[[nodiscard]] std::string_view ask_tape_tolerance_label() noexcept;
[[nodiscard]] std::string tape_tolerance_name(std::optional<double> tolerance);  // "not stated", "0.1 %"
[[nodiscard]] std::string channels(const Model& model);                          // "left is shown; both agree"
[[nodiscard]] std::string peak_name(const SpectrumPeak& peak);          // "hum 50 Hz x 60", "other tone", "tone"
[[nodiscard]] std::string_view level_word(double level_dbfs) noexcept;  // "good", "quiet", "too loud"
[[nodiscard]] std::string_view noise_word(double carrier_to_noise_dbhz) noexcept;  // "good", "fair", "poor"

}  // namespace four76::words
