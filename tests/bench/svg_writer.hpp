// SvgWriter: a picture as text: elements that close themselves, attributes and text that are escaped. What it gives is
// well-formed however it is called; script and outside addresses it cannot write.
#pragma once

#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

namespace four76::bench {

std::string number(double value);  // to a hundredth of a unit

struct Attribute {
  Attribute(std::string_view the_name, std::string_view the_value) : name(the_name), value(the_value) {}
  Attribute(std::string_view the_name, const char* the_value) : name(the_name), value(the_value) {}
  Attribute(std::string_view the_name, double value_of_it);
  std::string name, value;
};

class SvgWriter {
 public:
  SvgWriter(double width, double height, std::string_view title, std::string_view description);

  void style(std::string_view css);  // without '<' and '&'
  void open(std::string_view element, std::initializer_list<Attribute> attributes = {});
  void close();
  void empty(std::string_view element, std::initializer_list<Attribute> attributes);
  void text(double x, double y, std::string_view words, std::initializer_list<Attribute> attributes = {});

  [[nodiscard]] std::string finish();  // closes what is open

 private:
  void tag(std::string_view element, std::initializer_list<Attribute> attributes, std::string_view end);
  std::string out_;
  std::vector<std::string> open_;
};

std::string escaped(std::string_view text);

}  // namespace four76::bench
