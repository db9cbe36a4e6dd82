// Screen: lays the views out on the canvas, in fonts that suit its size and pixels, and gathers what the person asked
// for. It remembers the fonts only.
#pragma once

#include <optional>

#include "web/draw/drawn_controls.hpp"
#include "web/draw/theme.hpp"
#include "web/intent.hpp"
#include "web/model.hpp"
#include "web/place/layout.hpp"

namespace four76 {

class Screen {
 public:
  // Before a frame begins: makes the fonts for the canvas as it was last seen; true where they are new, and with them
  // the renderer's texture must be.
  bool fit(const Model& model, float pixel_ratio);
  // Between ImGui::NewFrame() and ImGui::Render().
  Intents draw(const Model& model);
  // False where the canvas has changed since fit(): another frame will be crisper.
  [[nodiscard]] bool fits(const Model& model, float pixel_ratio) const;
  // What of it can be pressed.
  [[nodiscard]] DrawnControls& controls() { return controls_; }

 private:
  std::optional<theme::FontSizes> sizes_;
  theme::Fonts fonts_;
  DrawnControls controls_;
};

}  // namespace four76
