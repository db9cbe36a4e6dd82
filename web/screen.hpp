// Screen: lays the views out on the canvas, in fonts that suit its size and pixels, and gathers what the person asked
// for. It remembers the fonts only.
#pragma once

#include <optional>

#include "web/intent.hpp"
#include "web/layout.hpp"
#include "web/model.hpp"
#include "web/theme.hpp"

namespace four76 {

class Screen {
 public:
  // Lays out for this size; true where the fonts were made anew, and with them the renderer's texture must be.
  bool fit(const Model& model, float width, float height, float pixel_ratio);
  // Between ImGui::NewFrame() and ImGui::Render(), after fit().
  Intents draw(const Model& model) const;

 private:
  Layout layout_;
  std::optional<theme::FontSizes> sizes_;
  theme::Fonts fonts_;
};

}  // namespace four76
