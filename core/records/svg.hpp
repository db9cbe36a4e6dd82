// Svg: a picture as text, of lines and words: what is given as text is escaped, script and outside addresses cannot be
// written. Black on white, told apart by width and dashes, so that it prints on anything.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace four76 {

// As text of HTML and SVG, in an attribute as well: & < > " ' are written as entities, control characters left out.
[[nodiscard]] std::string escaped_text(std::string_view text);

struct SvgPoint {
  double x = 0.0, y = 0.0;
};
enum class Stroke : unsigned char { thick, thin, dashed, faint };

class Svg {
 public:
  // `title` is what a screen reader says of it.
  Svg(double width, double height, std::string_view title);
  void line(std::span<const SvgPoint> points, Stroke stroke);
  void rectangle(SvgPoint corner, double width, double height, std::string_view fill);
  // Anchored at its start, middle or end: 0, 1, 2.
  void text(SvgPoint at, std::string_view words, int anchor = 0);
  [[nodiscard]] std::string finish();

 private:
  std::string out_;
};

}  // namespace four76
