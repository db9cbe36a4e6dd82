#include "web/screen.hpp"

#include <imgui.h>

#include "web/fonts.hpp"
#include "web/views/views.hpp"

namespace four76 {
namespace {

Stage stage_of(const Model& model) {
  if (model.phase == Phase::demo) return Stage::demo;
  return model.phase == Phase::listening || model.phase == Phase::file_shown ? Stage::signal : Stage::start;
}

// One window, as large as the canvas, without anything of its own.
void begin_sheet() {
  const ImGuiViewport& viewport = *ImGui::GetMainViewport();
  ImGui::SetNextWindowPos(viewport.Pos);
  ImGui::SetNextWindowSize(viewport.Size);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(0.0F, 0.0F));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 0.0F);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 0.0F);
  ImGui::PushStyleColor(ImGuiCol_WindowBg, theme::kGround);
  ImGui::Begin("Four76", nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                   ImGuiWindowFlags_NoNav | ImGuiWindowFlags_NoBringToFrontOnFocus |
                   ImGuiWindowFlags_NoScrollWithMouse);
  ImGui::PopStyleColor();
  ImGui::PopStyleVar(3);
}

}  // namespace

bool Screen::fit(const Model& model, float width, float height, float pixel_ratio) {
  layout_ = lay_out(width, height, stage_of(model));
  const theme::FontSizes wanted{layout_.text_px, layout_.figure_px, pixel_ratio};
  if (sizes_ == wanted) return false;
  sizes_ = wanted;
  fonts_ = theme::make_fonts(wanted, fonts::b612_regular(), fonts::b612_bold());
  return true;
}

Intents Screen::draw(const Model& model) const {
  begin_sheet();
  const draw::Paper paper{*ImGui::GetWindowDrawList(), fonts_};
  Intents intents;
  const auto show = [&](views::Answer (*view)(const Model&, const draw::Paper&, Rect), const Rect& area) {
    if (area.empty()) return;
    if (views::Answer answer = view(model, paper, area)) intents.push_back(std::move(*answer));
  };
  show(views::status, layout_.status);
  show(views::figure, layout_.figure);
  show(views::hint, layout_.hint);
  show(views::ribbon, layout_.ribbon);
  show(views::start, layout_.start);
  show(views::trimmer, layout_.trimmer);
  show(views::quality, layout_.quality);
  show(views::spectrum, layout_.spectrum);
  show(views::zoom, layout_.zoom);
  ImGui::End();
  return intents;
}

}  // namespace four76
