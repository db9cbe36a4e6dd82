// What wow and flutter come from, in words.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "web/model.hpp"

namespace four76::words {

struct FlutterVerdict {
  std::string headline;  // "Do not trim yet: ..."; empty where no rule says anything
  std::string detail;    // the causes, a line each
  bool warns = false;    // against trimming
};
[[nodiscard]] FlutterVerdict flutter_verdict(const Model& model);
[[nodiscard]] std::string cause_line(const Cause& cause);         // "Pinch roller (likely, 64 % of it)"
[[nodiscard]] std::string flutter_judgement(const Model& model);  // "Meets the hi-fi minimum ..."
[[nodiscard]] std::vector<std::string> standards_held_against(const Model& model);  // each named standard
[[nodiscard]] std::string peak_part(const Model& model, std::size_t peak);          // "capstan"; empty where not told
// "7.6 Hz, 0.08 %", with its part where that is told; "7.6 Hz capstan" where there is little room.
[[nodiscard]] std::string peak_label(const Model& model, std::size_t peak, bool roomy);
[[nodiscard]] std::string would_be(const Model& model,
                                   const FlutterPeak& peak);  // "7.58 Hz would be a capstan of 2.0 mm."
// The same of the shown channel's peak of that place; or of which rate it is a multiple.
[[nodiscard]] std::string rate_line(const Model& model, std::size_t peak);
[[nodiscard]] std::string no_causes(const Model& model);  // why none; empty where there are
[[nodiscard]] std::string_view why_name() noexcept;       // of the button: "Why"

}  // namespace four76::words
