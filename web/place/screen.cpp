#include "web/place/screen.hpp"

#include <imgui.h>

#include <algorithm>

#include "web/budget/view.hpp"
#include "web/coach/view.hpp"
#include "web/draw/fonts.hpp"
#include "web/flutter/causes/view.hpp"
#include "web/flutter/view.hpp"
#include "web/machine/view.hpp"
#include "web/place/view.hpp"
#include "web/song/match/view.hpp"
#include "web/song/view.hpp"
#include "web/tone/view.hpp"

namespace four76 {
namespace {

Stage stage_of(const Model& model) {
  if (in_song(model)) return is_file(model) && model.song.result ? Stage::match : Stage::song;
  if (model.view == View::flutter && can_change_view(model)) return Stage::flutter;
  if (model.phase == Phase::demo) return Stage::demo;
  return model.phase == Phase::listening || is_file(model) || is_held(model) ? Stage::signal : Stage::start;
}

Layout layout_for(const Model& model) {
  const ImVec2 size = ImGui::GetIO().DisplaySize;  // negative before the first frame
  return lay_out(std::max(size.x, 100.0F), std::max(size.y, 100.0F), stage_of(model));
}

theme::FontSizes sizes_for(const Model& model, float pixel_ratio) {
  const Layout layout = layout_for(model);
  return {layout.text_px, layout.figure_px, layout.reading_px, pixel_ratio};
}

// One window, as large as the canvas, without anything of its own.
void begin_sheet(const theme::Colours& ink) {
  const ImGuiViewport& viewport = *ImGui::GetMainViewport();
  ImGui::SetNextWindowPos(viewport.Pos);
  ImGui::SetNextWindowSize(viewport.Size);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(0.0F, 0.0F));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 0.0F);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 0.0F);
  ImGui::PushStyleColor(ImGuiCol_WindowBg, ink.ground);
  ImGui::Begin("Four76", nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                   ImGuiWindowFlags_NoNav | ImGuiWindowFlags_NoBringToFrontOnFocus |
                   ImGuiWindowFlags_NoScrollWithMouse);
  ImGui::PopStyleColor();
  ImGui::PopStyleVar(3);
}

}  // namespace

bool Screen::fits(const Model& model, float pixel_ratio) const { return sizes_ == sizes_for(model, pixel_ratio); }

bool Screen::fit(const Model& model, float pixel_ratio) {
  if (fits(model, pixel_ratio)) return false;
  sizes_ = sizes_for(model, pixel_ratio);
  fonts_ = theme::make_fonts(*sizes_, fonts::b612_regular(), fonts::b612_bold());
  return true;
}

Intents Screen::draw(const Model& model) {
  const Layout at = layout_for(model);
  const theme::Colours& ink = theme::colours(model.daylight);
  begin_sheet(ink);
  const draw::Paper paper{*ImGui::GetWindowDrawList(), fonts_, ink, controls_,
                          ImGui::GetIO().DisplaySize.x < kNarrowWidth};
  controls_.begin();
  controls_.needs(least_height(ImGui::GetIO().DisplaySize.x, stage_of(model)));
  Intents intents;
  // In the order in which they are read, which is the keyboard's.
  const auto show = [&](views::Answer (*view)(const Model&, const draw::Paper&, Rect), const Rect& area) {
    if (area.empty()) return;
    controls_.begin_part();
    if (views::Answer answer = view(model, paper, area)) intents.push_back(std::move(*answer));
  };
  show(views::status, at.status);
  show(views::figure, at.figure);
  show(views::hint, at.hint);
  show(views::flutter, at.flutter);
  show(views::causes, at.causes);
  const auto show_tape = [&] {
    show(views::ribbon, at.ribbon);
    show(views::alignment, at.alignment);
  };
  const bool tape_is_below = at.shape == Shape::wide;  // all that stands in two columns
  if (!tape_is_below) show_tape();
  show(views::start, at.start);
  show(views::song, at.song);
  show(views::trimmer, at.trimmer);
  show(views::quality, at.quality);
  show(views::measure, at.measure);
  if (tape_is_below) show_tape();
  show(views::spectrum, at.spectrum);
  show(views::zoom, at.zoom);
  show(views::budget, at.budget);
  show(views::rates, at.rates);
  ImGui::End();
  controls_.end();
  return intents;
}

}  // namespace four76
