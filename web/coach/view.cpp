// The demo's trimmer: a screw that is turned by dragging around it, by the wheel or by two buttons. Clockwise is
// faster.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "core/phrase.hpp"
#include "web/coach/view.hpp"
#include "web/platform/canvas.hpp"

namespace four76::views {
namespace {

constexpr float kPi = std::numbers::pi_v<float>;
constexpr float kButton = 52.0F;
constexpr float kLeastScrew = 38.0F;  // where that is all that the buttons leave, they are narrower

float angle_of(double trim_percent) { return static_cast<float>(trim_percent / kTrimPercentPerTurn) * 2.0F * kPi; }

void scale_marks(const draw::Paper& paper, ImVec2 c, float radius) {
  for (int i = 0; i < 24; ++i) {
    const float a = static_cast<float>(i) * 2.0F * kPi / 24.0F;
    const float from = radius * 1.08F, to = radius * (i % 6 == 0 ? 1.24F : 1.16F);
    paper.list.AddLine({c.x + std::cos(a) * from, c.y + std::sin(a) * from},
                       {c.x + std::cos(a) * to, c.y + std::sin(a) * to}, paper.ink.line, 1.5F);
  }
}

// A slotted head in a hole; an accent dot at one end of the slot shows which end it is.
void screw(const draw::Paper& paper, ImVec2 c, float radius, double trim_percent, bool held) {
  ImDrawList& list = paper.list;
  scale_marks(paper, c, radius);
  list.AddCircleFilled(c, radius, paper.ink.ground);
  list.AddCircleFilled(c, radius * 0.93F, paper.ink.metal_dark);
  list.AddCircleFilled(c, radius * 0.86F, paper.ink.metal);
  list.AddCircle(c, radius * 0.72F, theme::faded(paper.ink.paper, 0.25F), 0, 1.5F);
  const float a = angle_of(trim_percent) - kPi * 0.5F;
  const ImVec2 way(std::cos(a), std::sin(a));
  const float reach = radius * 0.84F;
  list.AddLine({c.x - way.x * reach, c.y - way.y * reach}, {c.x + way.x * reach, c.y + way.y * reach}, paper.ink.ground,
               radius * 0.2F);
  list.AddCircleFilled({c.x + way.x * radius * 1.1F, c.y + way.y * radius * 1.1F}, 4.0F, paper.ink.accent);
  if (held) list.AddCircle(c, radius, paper.ink.accent, 0, 2.5F);
}

// How far the pointer went round the centre since the last frame, in turns.
double turned(ImVec2 centre) {
  const ImGuiIO& io = ImGui::GetIO();
  const ImVec2 now(io.MousePos.x - centre.x, io.MousePos.y - centre.y);
  const ImVec2 before(now.x - io.MouseDelta.x, now.y - io.MouseDelta.y);
  const float least = 6.0F;  // nearer to the centre an angle means nothing
  if (std::hypot(now.x, now.y) < least || std::hypot(before.x, before.y) < least) return 0.0;
  return std::atan2(before.x * now.y - before.y * now.x, before.x * now.x + before.y * now.y) /
         (2.0 * std::numbers::pi);
}

Answer turn_by_hand(const draw::Paper& paper, Rect area, const Model& model) {
  const ImVec2 centre(area.x + area.w * 0.5F, area.y + area.h * 0.5F);
  const float radius = std::min(area.w, area.h) * 0.5F / 1.26F;
  draw::tapped(paper, "screw", area, {}, DrawnControl::Kind::slider);
  const bool held = ImGui::IsItemActive();
  screw(paper, centre, radius, model.job.trim_percent, held);
  if (held) {
    canvas::follow_drag();
    const double turns = turned(centre);
    if (turns != 0.0) return intent::TurnTrimmer{turns * kTrimPercentPerTurn};
  }
  const float wheel = ImGui::GetIO().MouseWheel;
  if (ImGui::IsItemHovered() && wheel != 0.0F) return intent::TurnTrimmer{wheel * kTrimNudgePercent};
  return std::nullopt;
}

Answer nudge(const draw::Paper& paper, Rect minus, Rect plus) {
  ImGui::PushButtonRepeat(true);
  const bool down = draw::button(paper, "trim-minus", minus, tr("\u2212 slower"));
  const bool up = draw::button(paper, "trim-plus", plus, tr("+ faster"));
  ImGui::PopButtonRepeat();
  if (down) return intent::TurnTrimmer{-kTrimNudgePercent};
  return up ? Answer(intent::TurnTrimmer{kTrimNudgePercent}) : std::nullopt;
}

}  // namespace

Answer trimmer(const Model& model, const draw::Paper& paper, Rect area) {
  draw::panel(paper, area);
  const Rect inside = area.inset(12.0F, area.h < 110.0F ? 4.0F : 8.0F);
  const float label = draw::size_of(paper.fonts.small);
  draw::line(paper, paper.fonts.small, paper.ink.dim, inside, say("{0} (invented): its speed screw", kDemoMachine));
  const Rect room{inside.x, inside.y + label + 4.0F, inside.w, inside.h - label - 4.0F};
  if (paper.narrow) {  // the buttons under the screw
    const float w = (room.w - 8.0F) * 0.5F, y = room.bottom() - kButton;
    const Answer by_button = nudge(paper, {room.x, y, w, kButton}, {room.right() - w, y, w, kButton});
    const Answer by_hand = turn_by_hand(paper, {room.x, room.y, room.w, room.h - kButton - 8.0F}, model);
    return by_button ? by_button : by_hand;
  }
  const float side = std::min(room.h, std::max(kLeastScrew, room.w - 2.0F * kButton - 24.0F)),
              middle = room.x + room.w * 0.5F;
  const float button_w = std::min(120.0F, (room.w - side) * 0.5F - 8.0F), button_h = std::min(kButton, room.h);
  const float y = room.y + (room.h - button_h) * 0.5F;
  const Answer by_button = nudge(paper, {middle - side * 0.5F - 8.0F - button_w, y, button_w, button_h},
                                 {middle + side * 0.5F + 8.0F, y, button_w, button_h});
  const Answer by_hand =
      turn_by_hand(paper, {middle - side * 0.5F, room.y + (room.h - side) * 0.5F, side, side}, model);
  return by_button ? by_button : by_hand;
}

}  // namespace four76::views
