// Ways to begin, while nothing runs: listen, the demo, a recording.
#include <algorithm>
#include <array>
#include <string_view>

#include "core/phrase.hpp"
#include "web/views/views.hpp"
#include "web/words.hpp"

namespace four76::views {
namespace {

constexpr float kSongButton = 44.0F;

Answer buttons(const draw::Paper& paper, Rect row) {
  constexpr float kGap = 10.0F;
  const float w = (row.w - 2.0F * kGap) / 3.0F;
  const Rect listen{row.x, row.y, w, row.h}, demo{row.x + w + kGap, row.y, w, row.h},
      file{row.x + 2.0F * (w + kGap), row.y, w, row.h};
  if (draw::button(paper, "start-listen", listen, tr("Listen"), true)) return intent::Listen{};
  if (draw::button(paper, "start-demo", demo, tr("Demo"))) return intent::StartDemo{};
  if (draw::button(paper, "start-file", file, tr("Open a file"))) return intent::OpenFile{};
  return std::nullopt;
}

void steps(const draw::Paper& paper, Rect area) {
  float y = area.y;
  int number = 1;
  for (const std::string_view step : words::first_steps()) {
    const float left = 2.2F * draw::size_of(paper.fonts.bold);
    const Rect row{area.x + left, y, area.w - left, area.bottom() - y};
    const float h = draw::paragraph_height(paper.fonts.text, row.w, step);
    if (y + h > area.bottom() + 1.0F) return;
    draw::line(paper, paper.fonts.bold, paper.ink.accent, {area.x, y, left, row.h}, std::to_string(number++));
    y += draw::paragraph(paper, paper.fonts.text, paper.ink.paper, row, step) + 6.0F;
  }
}

}  // namespace

Answer start(const Model& model, const draw::Paper& paper, Rect area) {
  draw::panel(paper, area);
  const Rect inside = area.inset(14.0F, 12.0F);
  if (model.phase == Phase::measuring_file) {
    const float part = static_cast<float>(model.file.fraction);
    paper.list.AddRectFilled({inside.x, inside.y}, {inside.right(), inside.y + 10.0F}, paper.ink.lifted, 5.0F);
    paper.list.AddRectFilled({inside.x, inside.y}, {inside.x + inside.w * part, inside.y + 10.0F}, paper.ink.accent,
                             5.0F);
    return std::nullopt;
  }
  const float button = std::clamp(inside.h * 0.35F, 44.0F, 60.0F);
  if (model.phase == Phase::asking) {
    steps(paper, inside);
    return std::nullopt;
  }
  const float w = std::min(inside.w, 560.0F);
  Answer answer = buttons(paper, {inside.x, inside.y, w, button});
  float used = button + 8.0F;
  if (inside.h - used >= kSongButton) {
    if (draw::button(paper, "start-song", {inside.x, inside.y + used, w, kSongButton}, words::act_name("act-song")))
      answer = intent::OpenSongBench{};
    used += kSongButton + 6.0F;
  }
  steps(paper, {inside.x, inside.y + used + 6.0F, inside.w, inside.h - used - 6.0F});
  return answer;
}

}  // namespace four76::views
