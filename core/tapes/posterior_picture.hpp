// PosteriorPicture: the posterior as an SVG, each kind of evidence drawn beneath it and named.
#pragma once

#include <span>
#include <string>

#include "core/tapes/speed_posterior.hpp"

namespace four76 {

struct PosteriorPicture {
  double width = 640.0, height = 360.0;
  double tolerance_percent = 0.5;  // drawn as the ribbon
};
// Colours come from the page: `currentColor` and classes `axis`, `posterior`, `pitch`, `line`, `hum`, `tolerance`.
[[nodiscard]] std::string picture_of(const SpeedAnswer& answer, std::span<const TapeFindings> tapes,
                                     const TuningPrior& prior, const PosteriorPicture& picture);

}  // namespace four76
