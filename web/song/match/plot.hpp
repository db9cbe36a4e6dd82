// alignment_plot: how far a tape runs ahead of its song. The wedge of tape holds every line that is within the
// tolerance; under it stands what could be followed, and how surely.
#pragma once

#include <string_view>

#include "web/draw/paper.hpp"
#include "web/song/match/alignment.hpp"

namespace four76::draw {

struct AlignmentScale {
  Rect box;
  double tape_s = 1.0, most_s = 0.02;

  [[nodiscard]] float x(double tape_s) const noexcept;
  [[nodiscard]] float y(double ahead_s) const noexcept;  // clamped to the box
};
[[nodiscard]] AlignmentScale alignment_scale(const AlignmentPicture& picture, double tolerance_percent,
                                             Rect box) noexcept;

void alignment_plot(const Paper& paper, Rect area, const AlignmentPicture& picture, double tolerance_percent,
                    std::string_view end_name);

}  // namespace four76::draw
