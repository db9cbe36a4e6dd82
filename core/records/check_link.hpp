// CheckLink: "check yours": a link that sets up a friend's bench, and the link that brings their result home.
//
//   v2.ask=k3f9x2&tone=3150&tol=0.5&kind=portable&note=Side%20A&sum=1c291ca3
//   v2.did=k3f9x2&tone=3150&tol=0.5&err=-0.31&u=0.02&wf=0.11&stage=as_left&date=2026-11-26&note=...&sum=...
//
// The second version of core/records/link, of pairs as there. The first pair says what the link is, and carries the id
// of the question. The last is the CRC-32 (ISO 3309, polynomial EDB88320) of all characters before "&sum=", as eight
// hex digits. Between them each key stands at most once, in any order. Links of the first version are read as before. A
// link is taken whole or not at all. Its text is somebody else's: show it as text, and as theirs.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "core/bench/visit.hpp"
#include "core/records/link.hpp"
#include "core/result.hpp"

namespace four76 {

inline constexpr std::size_t kLongestAskId = 16;  // letters and digits
inline constexpr std::size_t kLongestKind = 40;   // bytes
inline constexpr double kFarthestLink_percent = 30.0;

// What is asked of the friend. A tone is always in it, so that the friend need not choose one.
struct CheckAsked {
  std::string id;  // of the question; the result brings it back
  double tone_hz = 3000.0;
  std::optional<double> tape_tolerance_percent;  // how far that tone may be off
  double tolerance_percent = 0.5;
  std::string kind;  // of machine, one line; may be empty
  std::string note;  // one line; may be empty
  bool operator==(const CheckAsked&) const = default;
};

// What they found.
struct CheckDone {
  std::string id;  // of the question
  double tone_hz = 3000.0;
  double tolerance_percent = 0.5;
  double speed_error_percent = 0.0, u95_percent = 0.0;
  std::optional<double> weighted_percent;  // wow and flutter, two-sigma
  VisitStage stage = VisitStage::as_found;
  std::string date;  // "2026-11-26"
  std::string note;  // one line; may be empty
  bool operator==(const CheckDone&) const = default;
};

using AnyLink = std::variant<LinkSettings, CheckAsked, CheckDone>;

// With or without the '#' in front; either version. An empty fragment is a LinkSettings that sets nothing.
[[nodiscard]] Result<AnyLink, LinkFault> parse_any_link(std::string_view fragment);

// The fragment without its '#'; nothing where it cannot be put into a link of kLongestLink characters.
[[nodiscard]] std::optional<std::string> write_link(const CheckAsked& asked);
[[nodiscard]] std::optional<std::string> write_link(const CheckDone& done);

}  // namespace four76
