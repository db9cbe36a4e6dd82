#include "web/records_door.hpp"

#include <algorithm>
#include <optional>
#include <utility>
#include <vector>

#include "core/records/card.hpp"
#include "core/records/report.hpp"
#include "web/json.hpp"
#include "web/model.hpp"

namespace four76 {
namespace {

std::string fault(std::string_view why) {
  JsonWriter json;
  json.open('{').key("fault").value(why).close('}');
  return json.take();
}

void put_rows(JsonWriter& json, std::string_view name, const std::vector<ReportRow>& rows) {
  json.key(name).open('[');
  for (const ReportRow& row : rows) json.open('[').value(row.label).value(row.text).close(']');
  json.close(']');
}

void put_set_aside(JsonWriter& json, const std::vector<SetAside>& set_aside) {
  json.key("set_aside").open('[');
  for (const SetAside& each : set_aside)
    json.open('{').key("what").value(each.what).key("why").value(each.why).close('}');
  json.close(']');
}

void put_visit(JsonWriter& json, const Measurement& visit) {
  const ReportReading reading = report_reading(visit, false);
  json.open('{');
  json.key("id").value(visit.id);
  json.key("heading").value(reading.heading);
  json.key("verdict").value(reading.verdict);
  json.key("judged").value(name_of(verdict_of(visit)));
  put_rows(json, "rows", reading.rows);
  json.close('}');
}

std::string newest_of(const Card& card) {
  if (card.visits.empty()) return "";
  const ReportReading reading = report_reading(card.visits.back(), false);
  return reading.heading + ": " + (reading.rows.empty() ? reading.verdict : reading.rows.front().text);
}

void put_card(JsonWriter& json, const Card& card) {
  json.open('{');
  json.key("id").value(card.id);
  json.key("name").value(card.name);
  json.key("since").value(since_text(compare_visits(card.visits)));
  json.key("newest").value(newest_of(card));
  json.key("visits").open('[');
  for (const Measurement& visit : card.visits) put_visit(json, visit);
  json.close(']').close('}');
}

std::string told(const Cards& cards, const std::vector<SetAside>& set_aside, std::string_view said) {
  JsonWriter json;
  json.open('{').key("fault").value("");
  json.key("file").raw(write_cards(cards));
  put_set_aside(json, set_aside);
  json.key("cards").open('[');
  for (const Card& card : cards.cards) put_card(json, card);
  json.close(']').key("said").value(said).close('}');
  return json.take();
}

std::string read(std::string_view text) {
  const auto cards = read_cards(text);
  return cards ? told(cards->cards, cards->set_aside, "") : fault(cards.fault().why);
}

std::string merge(std::string_view there, std::string_view came) {
  const auto mine = read_cards(there), theirs = read_cards(came);
  if (!theirs) return fault(theirs.fault().why);
  if (!mine) return fault(mine.fault().why);
  Cards all = mine->cards;
  Merged merged = merge_cards(all, theirs->cards);
  std::vector<SetAside> set_aside = theirs->set_aside;
  std::move(merged.set_aside.begin(), merged.set_aside.end(), std::back_inserter(set_aside));
  const std::string said = std::to_string(merged.added) + " new, " + std::to_string(merged.renewed) + " renewed, " +
                           std::to_string(merged.left) + " known already.";
  return told(all, set_aside, said);
}

std::string csv(std::string_view text) {
  const auto cards = read_cards(text);
  return cards ? cards_csv(cards->cards) : std::string();
}

std::string source_of(double tolerance_percent) {
  const auto known = std::find_if(kTolerances.begin(), kTolerances.end(),
                                  [&](const Tolerance& each) { return each.percent == tolerance_percent; });
  return known == kTolerances.end() ? "chosen for this machine" : std::string(known->source);
}

std::string report(std::string_view text, std::string_view id, std::string_view name) {
  const auto cards = read_cards(text);
  if (!cards) return fault(cards.fault().why);
  const auto& all = cards->cards.cards;
  const auto card = std::find_if(all.begin(), all.end(), [&](const Card& each) { return each.id == id; });
  if (card == all.end()) return fault("That card is not there any more.");
  const double tolerance = card->visits.empty() ? card->tolerance_percent : card->visits.back().tolerance_percent;
  const Report made = make_report(*card, {FOUR76_VERSION, source_of(tolerance), std::string(name)});
  JsonWriter json;
  json.open('{').key("fault").value("").key("title").value(made.title).key("summary").value(made.summary);
  put_rows(json, "machine", made.machine);
  put_rows(json, "conditions", made.conditions);
  json.key("readings").open('[');
  for (const ReportReading& each : made.readings) {
    json.open('{').key("heading").value(each.heading).key("verdict").value(each.verdict);
    put_rows(json, "rows", each.rows);
    json.key("ribbon_svg").value(each.ribbon_svg).key("spectrum_svg").value(each.spectrum_svg).close('}');
  }
  json.close(']').close('}');
  return json.take();
}

}  // namespace

std::string ask_records(std::string_view what, const std::array<std::string_view, 4>& texts) {
  if (what == "read") return read(texts[0]);
  if (what == "merge") return merge(texts[0], texts[1]);
  if (what == "csv") return csv(texts[0]);
  if (what == "report") return report(texts[0], texts[1], texts[2]);
  return fault("This page does not know that question.");
}

}  // namespace four76
