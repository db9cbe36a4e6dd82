// What the tapes of a machine tell, as a visit of its own kind for its card.
#pragma once

#include <optional>
#include <span>

#include "core/bench/visit.hpp"
#include "web/tapes/mirror.hpp"

namespace four76 {

// Whether one of them carries it, more likely than not.
[[nodiscard]] bool carries(std::span<const TapeFindings> tapes, EvidenceKind kind);
// Nothing while several speeds fit, or no tape is kept. It has no id and no time yet.
[[nodiscard]] std::optional<Measurement> tapes_visit(const TapesOnShow& shown);

}  // namespace four76
