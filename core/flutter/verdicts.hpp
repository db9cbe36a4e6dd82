// Verdicts: what a repairer would sign, each by a rule and with the figures that it rests on, and none where the
// evidence is thin.
//
//   clean_before_measuring   level flutter or dropouts beyond the usual: a dirty head spoils every figure
//   speed_sags, warming_up   the speed moved by much over the time that it was watched: do not trim
//   wow_hides_the_mean       averaging over wow leaves more than half the tolerance open: do not trim
//   wow_beyond_usual         weighted or unweighted surely beyond the usual: mend that first
//   may_trim                 the speed is surely outside the tolerance, surely steady, and nothing of the above; a part
//                            that is named is looked at before
//   nothing_to_do            the speed is surely within the tolerance, surely steady; wow and flutter meet the usual
//
// In this order; neither of the last two stands with another.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "core/flutter/causes.hpp"
#include "core/flutter/flutter_evidence.hpp"
#include "core/flutter/short_list.hpp"

namespace four76 {

enum class Rule : std::uint8_t {
  clean_before_measuring,
  speed_sags,
  warming_up,
  wow_hides_the_mean,
  wow_beyond_usual,
  may_trim,
  nothing_to_do,
};
// The names used in JSON.
[[nodiscard]] std::string_view name_of(Rule rule) noexcept;
// Those that say: do not trim yet.
[[nodiscard]] constexpr bool forbids_trimming(Rule rule) noexcept {
  return rule != Rule::may_trim && rule != Rule::nothing_to_do;
}

// Only the figures that the rule rests on stand.
struct Verdict {
  Rule rule = Rule::nothing_to_do;
  std::optional<double> speed_error_percent, speed_u95_percent, tolerance_percent;
  std::optional<SpeedMove> move;
  std::optional<double> wow_u95_percent;
  std::optional<FlutterFigure> weighted, unweighted;
  std::optional<double> usual_percent;  // what is usual of the figure
  std::optional<double> level_rms_percent, dropouts_per_minute, deepest_dropout_db;
  std::optional<Standard> meets;   // the strictest that is met
  std::optional<CauseKind> first;  // to look at, where a cause is named
};

using Verdicts = ShortList<Verdict, 7>;
// `causes` are those found from the same evidence.
[[nodiscard]] Verdicts find_verdicts(const FlutterEvidence& evidence, const Causes& causes) noexcept;

}  // namespace four76
