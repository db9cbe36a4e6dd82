// What is wrong with a picture's mark-up, for the tests of what draws it.
#pragma once

#include <regex>
#include <stack>
#include <string>

namespace four76::bench {

// Empty where every element closes in its turn and every attribute is quoted.
inline std::string fault_in(const std::string& xml) {
  static const std::regex kTag(R"(<(/?)([a-z]+)((?: [a-zA-Z0-9:-]+="[^"<]*")*)(/?)>)");
  std::stack<std::string> open;
  std::size_t at = 0;
  for (std::sregex_iterator tag(xml.begin(), xml.end(), kTag), end; tag != end; ++tag) {
    const std::string between = xml.substr(at, static_cast<std::size_t>(tag->position()) - at);
    if (between.find_first_of("<>") != std::string::npos) return "stray bracket in: " + between;
    if (std::regex_search(between, std::regex("&(?!amp;|lt;|gt;|quot;|#39;)"))) return "bare ampersand in: " + between;
    at = static_cast<std::size_t>(tag->position() + tag->length());
    if ((*tag)[1].length() == 0 && (*tag)[4].length() == 0) open.push((*tag)[2]);
    if ((*tag)[1].length() == 0) continue;
    if (open.empty() || open.top() != (*tag)[2]) return "closed out of turn: " + tag->str();
    open.pop();
  }
  if (!open.empty()) return "left open: " + open.top();
  return xml.substr(at) == "\n" ? "" : "text after the end";
}

// The first place that lies outside its frame, or is no number; empty where all lie within.
inline std::string place_outside(const std::string& xml) {
  static const std::regex kFrame(R"re(viewBox="0 0 ([0-9.]+) ([0-9.]+)")re");
  static const std::regex kPlace(R"re( (c?[xy][12]?)="([^"]*)")re");
  std::smatch frame;
  if (!std::regex_search(xml, frame, kFrame)) return "no frame";
  const double width = std::stod(frame[1]), height = std::stod(frame[2]);
  for (std::sregex_iterator place(xml.begin(), xml.end(), kPlace), end; place != end; ++place) {
    const double value = std::strtod((*place)[2].str().c_str(), nullptr);
    const double most = (*place)[1].str().find('x') != std::string::npos ? width : height;
    if (!(value >= 0.0 && value <= most)) return place->str();
  }
  return "";
}

}  // namespace four76::bench
