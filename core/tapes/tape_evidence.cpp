#include "core/tapes/tape_evidence.hpp"

namespace four76 {

std::string_view name_of(EvidenceKind kind) noexcept {
  switch (kind) {
    case EvidenceKind::concert_pitch: return "concert_pitch";
    case EvidenceKind::line_scan: return "line_scan";
    case EvidenceKind::mains_hum: return "mains_hum";
  }
  return "";
}

std::string_view name_of(TapeReason reason) noexcept {
  switch (reason) {
    case TapeReason::too_quiet: return "too_quiet";
    case TapeReason::too_short: return "too_short";
    case TapeReason::no_pitch: return "no_pitch";
    case TapeReason::ambiguous: return "ambiguous";
    case TapeReason::tapes_disagree: return "tapes_disagree";
  }
  return "";
}

}  // namespace four76
