#include "core/records/parts_text.hpp"

#include <algorithm>
#include <array>

#include "core/records/kept_lines.hpp"

namespace four76 {
namespace {

constexpr std::size_t kLongest = 400;

struct Field {
  std::string_view name;
  std::optional<double> KnownParts::*value;
};
constexpr std::array<Field, 9> kFields{{
    {"capstan_mm", &KnownParts::capstan_diameter_mm},
    {"roller_mm", &KnownParts::roller_diameter_mm},
    {"motor_rpm", &KnownParts::motor_rpm},
    {"motor_pulley_mm", &KnownParts::motor_pulley_diameter_mm},
    {"belt_mm", &KnownParts::belt_length_mm},
    {"flywheel_mm", &KnownParts::flywheel_diameter_mm},
    {"idler_mm", &KnownParts::idler_diameter_mm},
    {"side_played", &KnownParts::side_played_share},
    {"tape_cm_s", &KnownParts::tape_speed_cm_s},
}};
struct Kind {
  std::string_view name;
  TapeKind kind;
};
constexpr std::array<Kind, 3> kKinds{{{"c60", TapeKind::c60}, {"c90", TapeKind::c90}, {"c120", TapeKind::c120}}};

bool take(std::string_view name, std::string_view text, KnownParts& known) {
  if (name == "tape") {
    const auto* const kind = std::find_if(kKinds.begin(), kKinds.end(), [&](const Kind& k) { return text == k.name; });
    if (kind == kKinds.end()) return false;
    known.tape_kind = kind->kind;
    return true;
  }
  for (const Field& field : kFields) {
    if (name != field.name) continue;
    known.*field.value = parse_number(text);
    return (known.*field.value).has_value();
  }
  return false;
}

}  // namespace

std::string text_of(const KnownParts& known) {
  std::string all;
  const auto add = [&](std::string_view name, std::string_view value) {
    if (!all.empty()) all += ';';
    all.append(name).append("=").append(value);
  };
  for (const Field& field : kFields) {
    if (!(known.*field.value)) continue;
    add(field.name, write_signed(*(known.*field.value)));
  }
  for (const Kind& kind : kKinds)
    if (known.tape_kind == kind.kind) add("tape", kind.name);
  return all;
}

std::optional<KnownParts> known_parts_of(std::string_view text) {
  KnownParts known;
  if (text.size() > kLongest) return std::nullopt;
  while (!text.empty()) {
    const std::string_view pair = text.substr(0, text.find(';'));
    const auto parting = pair.find('=');
    if (parting == std::string_view::npos || !take(pair.substr(0, parting), pair.substr(parting + 1), known))
      return std::nullopt;
    text.remove_prefix(std::min(text.size(), pair.size() + 1));
  }
  return known;
}

}  // namespace four76
