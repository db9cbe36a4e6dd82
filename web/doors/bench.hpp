// BenchDoor: what the page's script asks of the bench (core/bench): text in, text out, as with web/doors/records. What
// a person typed crosses as it was typed; faults come back in words.
//
//   bench-meter    "left;right" in Hz as typed (either may be empty), accuracy in percent, settings, stage
//   bench-timing   should take, took, both in seconds, settings, stage
//   bench-table    readings, truths: a line each, "tape;machine;percent;u95" and "tape or machine;which;percent;u95"
//   bench-certify  "own;u95", "trusted;u95", "trusted again;u95" or empty, "own nominal;trusted tape's u95"
//
// Settings are "tone;tolerance;tape's tolerance", the last may be empty. Answers are JSON objects with a "fault":
//
//   {"fault":"","visit":{as on a card},"said":"Within 0.5 %. Speed: ..."}   meter, timing
//   {"fault":"","tapes":["+0.10 ± 0.05 %"],"machines":[],"said":[],"left_out":[index of a reading]}
//   {"fault":"","true_hz","u95_percent","said"}
#pragma once

#include <array>
#include <string>
#include <string_view>

namespace four76 {

[[nodiscard]] std::string ask_bench(std::string_view what, const std::array<std::string_view, 4>& texts);

}  // namespace four76
