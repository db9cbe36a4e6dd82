#include "web/draw/fonts.hpp"

#include <emscripten.h>

#include <vector>

// clang-format off
EM_JS(int, js_font_size, (int weight), { return Module.page.fonts[weight].length; });
EM_JS(void, js_font_bytes, (int weight, std::uint8_t* bytes), { HEAPU8.set(Module.page.fonts[weight], bytes); });
// clang-format on

namespace four76::fonts {
namespace {

// ImGui reads words of the font where they fall; memory of the heap is aligned for them.
std::vector<std::uint8_t> face(int weight) {
  std::vector<std::uint8_t> bytes(static_cast<std::size_t>(js_font_size(weight)));
  js_font_bytes(weight, bytes.data());
  return bytes;
}

}  // namespace

std::span<const std::uint8_t> b612_regular() noexcept {
  static const std::vector<std::uint8_t> kept = face(0);
  return kept;
}

std::span<const std::uint8_t> b612_bold() noexcept {
  static const std::vector<std::uint8_t> kept = face(1);
  return kept;
}

}  // namespace four76::fonts
