// Rates: at which rates the speed wavers, and how much at each.
#include <algorithm>
#include <string>
#include <vector>

#include "web/flutter/causes/words.hpp"
#include "web/flutter/plot.hpp"
#include "web/flutter/view.hpp"
#include "web/flutter/words.hpp"

namespace four76::views {
namespace {

constexpr std::size_t kMostNames = 8;
constexpr float kRoomForPercent = 560.0F;  // beside a part's name

}  // namespace

Answer rates(const Model& model, const draw::Paper& paper, Rect area) {
  draw::panel(paper, area);
  const ImFont* font = paper.fonts.small;
  const float head = draw::size_of(font) + 9.0F;
  draw::line(paper, font, paper.ink.dim, {area.x + 10.0F, area.y + 5.0F, area.w - 20.0F, 20.0F},
             words::rates_title(model));
  const ChannelSnapshot* channel = shown_channel(model);
  if (!channel || channel->flutter_picture.peak_percent.empty()) {
    draw::line(paper, font, paper.ink.dim, {area.x, area.y + 0.5F * area.h, area.w, draw::size_of(font)},
               words::rates_state(model), draw::Align::centre);
    return std::nullopt;
  }
  std::vector<std::string> names;
  for (std::size_t i = 0; i < std::min(channel->flutter_picture.peaks.size(), kMostNames); ++i)
    names.push_back(words::peak_label(model, i, area.w >= kRoomForPercent));
  draw::flutter_plot(paper, {area.x + 8.0F, area.y + head, area.w - 16.0F, area.h - head - 5.0F},
                     channel->flutter_picture, names);
  return std::nullopt;
}

}  // namespace four76::views
