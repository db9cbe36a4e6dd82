#include "tests/bench/svg_writer.hpp"

#include <cassert>
#include <cstdio>

namespace four76::bench {

std::string number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.2f", value);
  std::string short_one = text;
  short_one.erase(short_one.find_last_not_of('0') + 1);
  if (short_one.ends_with('.')) short_one.pop_back();
  return short_one;
}

Attribute::Attribute(std::string_view the_name, double value_of_it) : name(the_name), value(number(value_of_it)) {}

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) switch (c) {
      case '&': out += "&amp;"; break;
      case '<': out += "&lt;"; break;
      case '>': out += "&gt;"; break;
      case '"': out += "&quot;"; break;
      default: out += c;
    }
  return out;
}

SvgWriter::SvgWriter(double width, double height, std::string_view title, std::string_view description) {
  const std::string box = std::string("0 0 ").append(number(width)).append(1, ' ').append(number(height));
  open("svg", {{"xmlns", "http://www.w3.org/2000/svg"},
               {"viewBox", box},
               {"width", width},
               {"height", height},
               {"role", "img"},
               {"aria-labelledby", "title description"}});
  out_.append("<title id=\"title\">").append(escaped(title)).append("</title>\n");
  out_.append("<desc id=\"description\">").append(escaped(description)).append("</desc>\n");
}

void SvgWriter::style(std::string_view css) { out_.append("<style>\n").append(escaped(css)).append("</style>\n"); }

void SvgWriter::tag(std::string_view element, std::initializer_list<Attribute> attributes, std::string_view end) {
  out_.append("<").append(element);
  for (const Attribute& attribute : attributes)
    out_.append(" ").append(attribute.name).append("=\"").append(escaped(attribute.value)).append("\"");
  out_.append(end);
}

void SvgWriter::open(std::string_view element, std::initializer_list<Attribute> attributes) {
  tag(element, attributes, ">\n");
  open_.emplace_back(element);
}

void SvgWriter::close() {
  assert(!open_.empty() && "close() without open()");
  out_.append("</").append(open_.back()).append(">\n");
  open_.pop_back();
}

void SvgWriter::empty(std::string_view element, std::initializer_list<Attribute> attributes) {
  tag(element, attributes, "/>\n");
}

void SvgWriter::text(double x, double y, std::string_view words, std::initializer_list<Attribute> attributes) {
  tag("text", {{"x", x}, {"y", y}}, "");
  for (const Attribute& attribute : attributes)
    out_.append(" ").append(attribute.name).append("=\"").append(escaped(attribute.value)).append("\"");
  out_.append(">").append(escaped(words)).append("</text>\n");
}

std::string SvgWriter::finish() {
  while (!open_.empty()) close();
  return out_;
}

}  // namespace four76::bench
