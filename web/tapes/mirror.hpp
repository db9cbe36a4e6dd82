// What the page of any tapes shows, as JSON (AnyTapes in shell/types.d.ts).
#pragma once

#include <optional>
#include <string>

#include "web/tapes/drawer.hpp"

namespace four76 {

// All tapes of the drawer, and that which plays now or has just been played.
struct TapesOnShow {
  const Drawer& drawer;
  std::optional<TapeFindings> present;
  double tolerance_percent = 0.5;
};

[[nodiscard]] std::vector<TapeFindings> all_findings(const TapesOnShow& shown);
[[nodiscard]] SpeedAnswer answer_of(const TapesOnShow& shown);
[[nodiscard]] std::string tapes_json(const TapesOnShow& shown);

}  // namespace four76
