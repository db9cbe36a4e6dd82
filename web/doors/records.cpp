#include "web/doors/records.hpp"

#include <algorithm>
#include <optional>
#include <utility>
#include <variant>
#include <vector>

#include "core/phrase.hpp"
#include "core/records/card.hpp"
#include "core/records/check_link.hpp"
#include "core/records/coach_text.hpp"
#include "core/records/kept_lines.hpp"
#include "core/records/report.hpp"
#include "web/doors/json.hpp"
#include "web/model.hpp"

namespace four76 {
namespace {

void put_rows(JsonWriter& json, std::string_view name, const std::vector<ReportRow>& rows) {
  json.key(name).open('[');
  for (const ReportRow& row : rows) json.open('[').value(row.label).value(row.text).close(']');
  json.close(']');
}

void put_set_aside(JsonWriter& json, const std::vector<SetAside>& set_aside) {
  json.key("set_aside").open('[');
  for (const SetAside& each : set_aside) {
    json.open('{').key("what").value(each.what).key("why").value(each.why);
    if (each.place) {
      json.key("kind").value(name_of(each.place->kind));
      json.key("index").value(std::optional(static_cast<double>(each.place->index)));
      if (each.place->visit) json.key("visit").value(std::optional(static_cast<double>(*each.place->visit)));
    }
    json.close('}');
  }
  json.close(']');
}

void put_visit(JsonWriter& json, const Measurement& visit) {
  const ReportReading reading = report_reading(visit, false);
  json.open('{');
  json.key("id").value(visit.id);
  json.key("heading").value(reading.heading);
  json.key("speed").value(speed_text(visit));
  const auto speed = speed_of(visit);
  json.key("short").value(speed ? signed_percent_text(speed->percent) : "");
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
  json.key("since").value(comparison_text(card.visits));
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
  return cards ? told(cards->cards, cards->set_aside, "") : fault_json(cards.fault().why);
}

std::string merge(std::string_view there, std::string_view came) {
  const auto mine = read_cards(there), theirs = read_cards(came);
  if (!theirs) return fault_json(theirs.fault().why);
  if (!mine) return fault_json(mine.fault().why);
  Cards all = mine->cards;
  Merged merged = merge_cards(all, theirs->cards);
  if (write_cards(all).size() > kLargestCardsFile)  // else none of it could be read any more
    return fault_json(tr("Together with the cards that are here it is more than this page can keep."));
  std::vector<SetAside> set_aside = theirs->set_aside;
  std::move(merged.set_aside.begin(), merged.set_aside.end(), std::back_inserter(set_aside));
  const std::string said = say("{0} new, {1} renewed, {2} known already.", std::to_string(merged.added),
                               std::to_string(merged.renewed), std::to_string(merged.left));
  return told(all, set_aside, said);
}

std::string csv(std::string_view text) {
  const auto cards = read_cards(text);
  return cards ? cards_csv(cards->cards) : std::string();
}

std::string source_of(double tolerance_percent) {
  const auto known = std::find_if(kTolerances.begin(), kTolerances.end(),
                                  [&](const Tolerance& each) { return each.percent == tolerance_percent; });
  return known == kTolerances.end() ? say("chosen for this machine") : say(known->source);
}

std::string report(std::string_view text, std::string_view id, std::string_view name) {
  const auto cards = read_cards(text);
  if (!cards) return fault_json(cards.fault().why);
  const auto& all = cards->cards.cards;
  const auto card = std::find_if(all.begin(), all.end(), [&](const Card& each) { return each.id == id; });
  if (card == all.end()) return fault_json(tr("That card is not there any more."));
  const double tolerance = card->visits.empty() ? card->tolerance_percent : card->visits.back().tolerance_percent;
  const Report made = make_report(*card, {FOUR76_VERSION, source_of(tolerance), std::string(name)});
  JsonWriter json;
  json.open('{')
      .key("fault")
      .value("")
      .key("title")
      .value(made.title)
      .key("summary")
      .value(made.summary)
      .key("caution")
      .value(made.caution);
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

std::string link_told(const std::optional<std::string>& link) {
  if (!link) return fault_json(tr("That does not fit into a link: shorten the note."));
  JsonWriter json;
  json.open('{').key("fault").value("").key("link").value(*link).close('}');
  return json.take();
}

std::string ask_link(std::string_view id, std::string_view settings, std::string_view kind, std::string_view note) {
  const auto first = settings.find(';'), second = settings.find(';', first + 1);
  if (second == std::string_view::npos) return fault_json(tr("This page does not know that question."));
  const auto tone = parse_number(settings.substr(0, first));
  const auto tolerance = parse_number(settings.substr(first + 1, second - first - 1));
  CheckAsked asked;
  asked.id = id;
  asked.tone_hz = tone.value_or(0.0);  // which no link takes
  asked.tolerance_percent = tolerance.value_or(0.0);
  asked.tape_tolerance_percent = parse_number(settings.substr(second + 1));
  asked.kind = kind;
  asked.note = note;
  return link_told(write_link(asked));
}

// The first visit of the first card.
std::string answer_link(std::string_view text, std::string_view id, std::string_view day, std::string_view note) {
  const auto cards = read_cards(text);
  if (!cards) return fault_json(cards.fault().why);
  const auto& all = cards->cards.cards;
  if (all.empty() || all.front().visits.empty()) return fault_json(tr("Nothing was measured."));
  const Measurement& visit = all.front().visits.front();
  const auto speed = speed_of(visit);
  if (!speed) return fault_json(tr("Nothing was measured."));
  CheckDone done;
  done.id = id;
  done.tone_hz = visit.nominal_hz;
  done.tolerance_percent = visit.tolerance_percent;
  done.speed_error_percent = speed->percent;
  done.u95_percent = speed->u95_percent;
  done.weighted_percent = visit.channels.front().weighted_two_sigma_percent;
  done.stage = visit.stage;
  done.date = day;
  done.note = note;
  return link_told(write_link(done));
}

// The visit's id is the link's own sum: filed twice it is there once.
std::string filed_link(std::string_view link) {
  const auto came = parse_any_link(link);
  if (!came) return fault_json(message_of(came.fault()));
  const auto* done = std::get_if<CheckDone>(&*came);
  if (!done) return fault_json(tr("That link brings no result."));
  Measurement visit;
  visit.id = "friend-" + done->id + '-' + std::string(link.substr(link.size() - 8));
  visit.time = done->date;
  visit.stage = done->stage;
  visit.nominal_hz = done->tone_hz;
  visit.tolerance_percent = done->tolerance_percent;
  visit.device = tr("somebody else's, by a link");
  visit.note = done->note.empty() ? "" : say("They write: {0}", done->note);
  MeasuredChannel channel;
  channel.status = Status::measured;
  channel.speed_error_percent = done->speed_error_percent;
  channel.u95_percent = done->u95_percent;
  channel.weighted_two_sigma_percent = done->weighted_percent;
  visit.channels.push_back(channel);
  JsonWriter json;
  json.open('{').key("fault").value("").key("visit").raw(write_visit(visit)).key("id").value(done->id).close('}');
  return json.take();
}

}  // namespace

std::string ask_records(std::string_view what, const std::array<std::string_view, 4>& texts) {
  if (what == "read") return read(texts[0]);
  if (what == "merge") return merge(texts[0], texts[1]);
  if (what == "csv") return csv(texts[0]);
  if (what == "report") return report(texts[0], texts[1], texts[2]);
  if (what == "ask") return ask_link(texts[0], texts[1], texts[2], texts[3]);
  if (what == "answer") return answer_link(texts[0], texts[1], texts[2], texts[3]);
  if (what == "filed") return filed_link(texts[0]);
  return fault_json(tr("This page does not know that question."));
}

}  // namespace four76
