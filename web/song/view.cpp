// The song bench's panel: where in the song the tape is, and what is known of it. What can be done next are the page's
// buttons.
#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "web/song/view.hpp"
#include "web/song/words.hpp"

namespace four76::views {
namespace {

constexpr float kGap = 8.0F;
constexpr float kLowestDbfs = -80.0F;

void bar(const draw::Paper& paper, Rect area, float part) {
  constexpr float kHeight = 10.0F;
  paper.list.AddRectFilled({area.x, area.y}, {area.right(), area.y + kHeight}, paper.ink.lifted, 5.0F);
  if (part <= 0.0F) return;
  paper.list.AddRectFilled({area.x, area.y}, {area.x + area.w * std::clamp(part, 0.0F, 1.0F), area.y + kHeight},
                           paper.ink.accent, 5.0F);
}

// The whole song, and where the tape is in it.
void place(const draw::Paper& paper, Rect area, const Model& model) {
  const SongBench& song = model.song;
  bar(paper, area, 0.0F);
  if (!song.position_s || !song.reference) return;
  const auto part = static_cast<float>(std::clamp(*song.position_s / std::max(1.0, song.reference->seconds), 0.0, 1.0));
  bar(paper, area, part);
  paper.list.AddCircleFilled({area.x + area.w * part, area.y + 5.0F}, 9.0F, paper.ink.ground);
  paper.list.AddCircleFilled({area.x + area.w * part, area.y + 5.0F}, 7.0F, paper.ink.paper);
}

void level(const draw::Paper& paper, Rect area, const std::optional<double>& dbfs) {
  bar(paper, area, dbfs ? 1.0F - static_cast<float>(*dbfs) / kLowestDbfs : 0.0F);
}

// True where there is a bar to be shown.
bool gauge(const draw::Paper& paper, Rect area, const Model& model) {
  if (model.phase == Phase::measuring_file) return bar(paper, area, static_cast<float>(model.file.fraction)), true;
  if (records_song(model)) return level(paper, area, model.song.level_dbfs), true;
  if (follows_song(model)) return place(paper, area, model), true;
  return false;
}

float lines(const draw::Paper& paper, Rect area, const std::vector<words::BudgetLine>& all) {
  const ImFont* font = paper.fonts.text;
  const bool narrow = paper.narrow;  // then the amount stands under its name
  const float wanted = (narrow ? 2.9F : 1.45F) * draw::size_of(font);
  const float step = all.empty() ? 0.0F : std::min(wanted, area.h / static_cast<float>(all.size()));
  Rect at{area.x, area.y, area.w, step};
  for (const words::BudgetLine& line : all) {
    if (narrow) {
      draw::line(paper, paper.fonts.small, paper.ink.dim, at, line.name);
      draw::line(paper, font, paper.ink.paper, {at.x, at.y + 0.42F * step, at.w, step}, line.amount,
                 draw::Align::right);
      at.y += step;
      continue;
    }
    const float amount_w = std::min(0.7F * at.w, draw::extent(font, draw::size_of(font), line.amount).x) + 1.0F;
    draw::line(paper, font, paper.ink.dim, {at.x, at.y, at.w - amount_w - kGap, step}, line.name);
    draw::line(paper, font, paper.ink.paper, {at.right() - amount_w, at.y, amount_w, step}, line.amount,
               draw::Align::right);
    at.y += step;
  }
  return at.y - area.y;
}

void steps(const draw::Paper& paper, Rect area, const Model& model) {
  float y = area.y;
  int number = 1;
  for (const std::string_view step : words::song_steps(model)) {
    const float left = 2.2F * draw::size_of(paper.fonts.bold);
    const Rect row{area.x + left, y, area.w - left, area.bottom() - y};
    if (y + draw::paragraph_height(paper.fonts.text, row.w, step) > area.bottom() + 1.0F) return;
    draw::line(paper, paper.fonts.bold, paper.ink.accent, {area.x, y, left, row.h}, std::to_string(number++));
    y += draw::paragraph(paper, paper.fonts.text, paper.ink.paper, row, step) + 6.0F;
  }
}

}  // namespace

Answer song(const Model& model, const draw::Paper& paper, Rect area) {
  draw::panel(paper, area);
  Rect inside = area.inset(12.0F, 10.0F);
  const auto use = [&](float h) {
    inside.y += h;
    inside.h -= h;
  };
  if (gauge(paper, {inside.x + 9.0F, inside.y + 4.0F, inside.w - 18.0F, 10.0F}, model)) use(26.0F);
  use(lines(paper, inside, words::song_lines(model)) + 6.0F);
  const bool rests = model.phase == Phase::idle || model.phase == Phase::failed || model.phase == Phase::asking;
  if (rests && inside.h > 0.0F) steps(paper, inside, model);
  return std::nullopt;
}

}  // namespace four76::views
