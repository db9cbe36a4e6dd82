#include "web/tapes/drawer.hpp"

#include <cmath>

#include "core/records/json.hpp"
#include "core/records/percent_text.hpp"

namespace four76 {
namespace {

constexpr std::string_view kSchema = "four76.drawer/1";
constexpr EvidenceKind kKinds[] = {EvidenceKind::concert_pitch, EvidenceKind::line_scan, EvidenceKind::mains_hum};
constexpr double kLowestA_hz = 380.0, kHighestA_hz = 480.0;
constexpr double kLowest_hz = 1.0, kHighest_hz = 100'000.0;

bool is_name(std::string_view name) {
  return !name.empty() && name.size() <= kLongestDrawerName && is_one_line_of_utf8(name);
}

std::optional<double> number_in(const Json& object, std::string_view name, double lowest, double highest) {
  const Json* found = object.find(name);
  const auto number = found ? found->as_number() : std::nullopt;
  return number && *number >= lowest && *number <= highest ? number : std::nullopt;
}
std::optional<std::string> text_in(const Json& object, std::string_view name) {
  const Json* found = object.find(name);
  return found && found->as_string() ? std::optional(*found->as_string()) : std::nullopt;
}

std::optional<Evidence> evidence_of(const Json& json) {
  const auto kind = text_in(json, "kind");
  const auto nominal = number_in(json, "nominal_hz", kLowest_hz, kHighest_hz);
  const auto measured = number_in(json, "measured_hz", kLowest_hz, kHighest_hz);
  const auto u95 = number_in(json, "u95_percent", 0.0, 100.0);
  const auto on_tape = number_in(json, "on_tape", 0.0, 1.0);
  if (!kind || !nominal || !measured || !u95 || !on_tape) return std::nullopt;
  for (const EvidenceKind each : kKinds)
    if (*kind == name_of(each)) return Evidence{each, *nominal, *measured, *u95, *on_tape};
  return std::nullopt;
}

bool add_reasons(const Json& json, std::vector<TapeReason>& reasons) {
  for (const Json& item : json.items()) {
    bool known = false;
    for (std::size_t i = 0; i < kTapeReasonCount; ++i) {
      const auto reason = static_cast<TapeReason>(i);
      if (!item.as_string() || *item.as_string() != name_of(reason)) continue;
      reasons.push_back(reason);
      known = true;
    }
    if (!known) return false;
  }
  return reasons.size() <= kTapeReasonCount;
}

std::optional<DrawerTape> tape_of(const Json& json) {
  DrawerTape tape;
  const auto name = text_in(json, "name");
  const auto heard = number_in(json, "heard_s", 0.0, 1e6);
  const Json* evidence = json.find("evidence");
  const Json* reasons = json.find("reasons");
  if (!name || !is_name(*name) || !heard || !evidence || evidence->items().size() > kMostDrawerEvidence)
    return std::nullopt;
  tape.name = *name;
  tape.findings.heard_s = *heard;
  tape.findings.relative_wow_rms_percent = number_in(json, "wow_rms_percent", 0.0, 100.0);
  tape.findings.relative_wow_u95_percent = number_in(json, "wow_u95_percent", 0.0, 100.0);
  tape.findings.wow_rate_hz = number_in(json, "wow_rate_hz", 0.0, 100.0);
  tape.findings.wow_rate_u95_hz = number_in(json, "wow_rate_u95_hz", 0.0, 100.0);
  tape.findings.drift_percent_per_minute = number_in(json, "drift_percent_per_minute", -100.0, 100.0);
  for (const Json& item : evidence->items()) {
    const auto found = evidence_of(item);
    if (!found) return std::nullopt;
    tape.findings.evidence.push_back(*found);
  }
  if (reasons && !add_reasons(*reasons, tape.findings.reasons)) return std::nullopt;
  return tape;
}

Json json_of(const Evidence& evidence) {
  Json json = Json::object();
  json.set("kind", Json::string(name_of(evidence.kind)));
  json.set("nominal_hz", Json::number(evidence.nominal_hz));
  json.set("measured_hz", Json::number(evidence.measured_hz));
  json.set("u95_percent", Json::number(evidence.measured_u95_percent));
  json.set("on_tape", Json::number(evidence.on_tape_probability));
  return json;
}

Json json_of(const DrawerTape& tape) {
  const TapeFindings& findings = tape.findings;
  Json json = Json::object(), evidence = Json::array(), reasons = Json::array();
  for (const Evidence& each : findings.evidence) evidence.add(json_of(each));
  for (const TapeReason each : findings.reasons) reasons.add(Json::string(name_of(each)));
  json.set("name", Json::string(tape.name));
  json.set("heard_s", Json::number(findings.heard_s));
  json.set("wow_rms_percent", Json::number(findings.relative_wow_rms_percent));
  json.set("wow_u95_percent", Json::number(findings.relative_wow_u95_percent));
  json.set("wow_rate_hz", Json::number(findings.wow_rate_hz));
  json.set("wow_rate_u95_hz", Json::number(findings.wow_rate_u95_hz));
  json.set("drift_percent_per_minute", Json::number(findings.drift_percent_per_minute));
  json.set("reasons", std::move(reasons));
  json.set("evidence", std::move(evidence));
  return json;
}

}  // namespace

std::optional<Drawer> read_drawer(std::string_view text) {
  Drawer drawer;
  if (text.empty()) return drawer;
  const auto read = parse_json(text, {.bytes = kLongestDrawerText});
  if (!read || text_in(*read, "schema") != kSchema) return std::nullopt;
  const Json* tapes = read->find("tapes");
  const auto like = number_in(*read, "sounds_like", 0.0, 3.0);
  if (!tapes || tapes->items().size() > kMostDrawerTapes || !like || std::floor(*like) != *like) return std::nullopt;
  drawer.sounds_like = static_cast<SoundsLike>(static_cast<int>(*like));
  const Json* tuning = read->find("concert_a_hz");
  drawer.tuning.concert_a_hz = number_in(*read, "concert_a_hz", kLowestA_hz, kHighestA_hz);
  if (!tuning || (!drawer.tuning.concert_a_hz && tuning->kind() != Json::Kind::null)) return std::nullopt;
  for (const Json& item : tapes->items()) {
    auto tape = tape_of(item);
    if (!tape) return std::nullopt;
    drawer.tapes.push_back(*std::move(tape));
  }
  return drawer;
}

std::string write_drawer(const Drawer& drawer) {
  Json json = Json::object(), tapes = Json::array();
  for (const DrawerTape& tape : drawer.tapes) tapes.add(json_of(tape));
  json.set("schema", Json::string(kSchema));
  json.set("concert_a_hz", Json::number(drawer.tuning.concert_a_hz));
  json.set("sounds_like", Json::number(static_cast<double>(drawer.sounds_like)));
  json.set("tapes", std::move(tapes));
  return write_json(json);
}

bool put_into(Drawer& drawer, std::string_view name, const TapeFindings& findings) {
  if (!is_name(name)) return false;
  DrawerTape tape{std::string(name), findings};
  tape.findings.lately_percent.reset();
  tape.findings.lately_u95_percent.reset();
  if (tape.findings.evidence.size() > kMostDrawerEvidence) tape.findings.evidence.resize(kMostDrawerEvidence);
  drawer.tapes.push_back(std::move(tape));
  if (drawer.tapes.size() > kMostDrawerTapes) drawer.tapes.erase(drawer.tapes.begin());
  return true;
}

}  // namespace four76
