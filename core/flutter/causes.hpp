// Causes: what makes the speed move, by what it looks like in the rates, the level and the drift: a ranked list, with
// what speaks for each and what to do.
//
//   peaks --> families (a rate and its multiples) --> the part that fits best, and the others that would
//   what is left over --> wow without a rhythm;   100 to 200 Hz --> scrape;   level --> amplitude flutter, dropouts
//   drift --> a sag, or warming up;   speed error --> the trimmer, always last
//
// A cause is a fault where the figure is surely beyond what is usual and this makes a tenth of its power or more; else
// it only says where what little there is comes from. That asks for nothing as long as nothing is at fault; but where
// anything is, the trimmer too, every part that is named is looked at first: one that is on its way out moves the mean
// speed as well, and a trimmer that was turned to suit it is wrong as soon as it is replaced. Faults come first, then
// by share of the unweighted deviation's power. What the level and the drift do has no such share: a sag ranks as if
// its slope were wow, D^2 / 12 for a change of D (derived), the level's as the power by which it passes what is usual.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "core/flutter/flutter_evidence.hpp"
#include "core/flutter/peak_match.hpp"
#include "core/flutter/repair_steps.hpp"
#include "core/flutter/short_list.hpp"

namespace four76 {

enum class Sureness : std::uint8_t { likely, possible, hint };
// The names used in JSON.
[[nodiscard]] std::string_view name_of(Sureness sureness) noexcept;

struct CausePeak {
  std::size_t peak = 0;  // its place in the evidence
  double rate_hz = 0.0;
  double peak_percent = 0.0;
  int harmonic = 1;  // of the family's rate
};

struct Cause {
  CauseKind kind = CauseKind::unknown_rate;
  bool fault = false;
  Sureness sureness = Sureness::hint;
  std::optional<double> share_percent;           // of the unweighted deviation's power
  std::optional<double> rate_hz;                 // of the family
  std::optional<double> change_hz_per_minute;    // of that rate, where it moves
  ShortList<CausePeak, kHighestHarmonic> peaks;  // lowest first
  ShortList<PartFit, 3> fits;                    // the part itself, then what else it might be
  bool equal = false;                            // the second fits as well as the first
  std::optional<double> needs_span_s;            // so long a listening could tell these two apart
  std::optional<double> figure;                  // scrape, level: percent; dropouts: a minute; drift: percent moved;
                                                 // trimmer: percent off
  std::optional<double> over_s;                  // the time that a drift was seen over
  double rank = 0.0;                             // 0 to 100, for the order alone
  RepairSteps steps;                             // nothing where nothing is to be done
};

struct Causes {
  static constexpr std::size_t kMost = 12;
  ShortList<Cause, kMost> list;  // the worst first
  std::optional<Thin> thin;      // why nothing is said of the rates
};

[[nodiscard]] Causes find_causes(const FlutterEvidence& evidence) noexcept;

// The cause that a peak of the evidence belongs to.
[[nodiscard]] const Cause* cause_of_peak(const Causes& causes, std::size_t peak) noexcept;
// The first that is a fault.
[[nodiscard]] const Cause* leading_fault(const Causes& causes) noexcept;
// All that is to be done for all faults and all parts that are named beside one, in the trade's order.
[[nodiscard]] RepairSteps work_list(const Causes& causes) noexcept;

}  // namespace four76
