#include "core/records/svg.hpp"

#include <array>
#include <cmath>
#include <cstdio>

namespace four76 {
namespace {

// To a tenth of a unit; what is not finite is 0.
std::string number(double value) {
  std::array<char, 32> digits{};
  std::snprintf(digits.data(), digits.size(), "%.1f", std::isfinite(value) && std::abs(value) < 1e6 ? value : 0.0);
  return digits.data();
}

std::string_view style_of(Stroke stroke) noexcept {
  switch (stroke) {
    case Stroke::thick: return "stroke=\"#000\" stroke-width=\"1.6\"";
    case Stroke::thin: return "stroke=\"#000\" stroke-width=\"0.8\"";
    case Stroke::dashed: return "stroke=\"#000\" stroke-width=\"0.8\" stroke-dasharray=\"5 3\"";
    case Stroke::faint: return "stroke=\"#999\" stroke-width=\"0.5\"";
  }
  return "";
}

}  // namespace

std::string escaped_text(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&': out += "&amp;"; break;
      case '<': out += "&lt;"; break;
      case '>': out += "&gt;"; break;
      case '"': out += "&quot;"; break;
      case '\'': out += "&#39;"; break;
      default:
        if (static_cast<unsigned char>(c) >= 0x20u || c == '\n') out += c;
    }
  }
  return out;
}

Svg::Svg(double width, double height, std::string_view title) {
  out_ = "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" viewBox=\"0 0 " + number(width) + ' ' +
         number(height) + "\" font-family=\"sans-serif\" font-size=\"11\"><title>" + escaped_text(title) + "</title>";
}

void Svg::line(std::span<const SvgPoint> points, Stroke stroke) {
  if (points.size() < 2) return;
  out_ += "<polyline fill=\"none\" ";
  out_.append(style_of(stroke)).append(" points=\"");
  for (const SvgPoint& point : points) out_ += number(point.x) + ',' + number(point.y) + ' ';
  out_ += "\"/>";
}

void Svg::rectangle(SvgPoint corner, double width, double height, std::string_view fill) {
  out_ += "<rect x=\"" + number(corner.x) + "\" y=\"" + number(corner.y) + "\" width=\"" + number(width) +
          "\" height=\"" + number(height) + "\" fill=\"" + escaped_text(fill) + "\"/>";
}

void Svg::text(SvgPoint at, std::string_view words, int anchor) {
  static constexpr std::array<std::string_view, 3> kAnchors{"start", "middle", "end"};
  const std::string_view name = kAnchors[static_cast<std::size_t>(anchor) % kAnchors.size()];
  out_ += "<text x=\"" + number(at.x) + "\" y=\"" + number(at.y) + "\" text-anchor=\"" + std::string(name) + "\">" +
          escaped_text(words) + "</text>";
}

std::string Svg::finish() { return out_ + "</svg>"; }

}  // namespace four76
