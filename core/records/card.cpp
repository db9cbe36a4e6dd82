#include "core/records/card.hpp"

#include <algorithm>
#include <utility>

#include "core/phrase.hpp"
#include "core/records/kept_lines.hpp"
#include "core/signal/sort_few.hpp"

namespace four76 {
namespace {

template <typename Record>
Record* find(std::vector<Record>& records, const std::string& id) {
  const auto found = std::find_if(records.begin(), records.end(), [&](const Record& each) { return each.id == id; });
  return found == records.end() ? nullptr : &*found;
}

template <typename Record>
void merge_record(std::vector<Record>& there, const Record& came, std::size_t most, const std::string& what,
                  Merged& merged) {
  Record* known = find(there, came.id);
  if (known && came.changed_ms > known->changed_ms) {
    *known = came;
    ++merged.renewed;
  } else if (known) {
    ++merged.left;
  } else if (there.size() < most) {
    there.push_back(came);
    ++merged.added;
  } else {
    merged.set_aside.push_back({what, say("there is no room for more"), {}});
  }
}

void merge_visits(std::vector<Measurement>& there, const std::vector<Measurement>& came, const std::string& card,
                  Merged& merged) {
  for (const Measurement& visit : came)
    merge_record(there, visit, kMostVisits, say("{0}, visit of {1}", card, visit.time), merged);
  sort_few(there.begin(), there.end(), [](const Measurement& a, const Measurement& b) { return a.time < b.time; });
}

void merge_card(Cards& there, const Card& came, Merged& merged) {
  Card bare = came;
  bare.visits.clear();
  if (const Card* known = find(there.cards, came.id)) bare.visits = known->visits;  // stay, whichever is newer
  merge_record(there.cards, bare, kMostCards, came.name, merged);
  if (Card* card = find(there.cards, came.id)) merge_visits(card->visits, came.visits, came.name, merged);
}

std::string csv_text(const std::string& text) {
  std::string out = "\"";
  if (!text.empty() && std::string_view("=+-@\t\r").find(text[0]) != std::string_view::npos) out += '\'';
  for (const char c : text) out.append(c == '"' ? 2 : 1, c);
  return out += '"';
}

std::string csv_number(const std::optional<double>& value) { return value ? write_signed(*value) : std::string(); }

std::string csv_line(const Card& card, const Measurement& visit, const MeasuredChannel& channel) {
  std::string line = csv_text(card.name);
  const auto add = [&line](const std::string& field) { line.append(1, ',').append(field); };
  add(csv_text(visit.time));
  add(std::string(name_of(visit.stage)));
  add(std::string(name_of(visit.place)));
  add(std::string(name_of(visit.source)));
  add(csv_text(channel.channel));
  add(std::string(name_of(channel.status)));
  add(csv_number(visit.nominal_hz));
  add(csv_number(channel.frequency_hz));
  add(csv_number(channel.speed_error_percent));
  add(csv_number(channel.u95_percent));
  add(csv_number(channel.weighted_two_sigma_percent));
  add(csv_number(channel.unweighted_two_sigma_percent));
  add(csv_number(visit.tolerance_percent));
  add(std::string(name_of(verdict_of(visit))));
  add(csv_text(visit.tape));
  add(csv_text(visit.note));
  return line += "\r\n";
}

}  // namespace

Merged merge_cards(Cards& there, const Cards& came) {
  Merged merged;
  for (const KnownTape& tape : came.tapes) merge_record(there.tapes, tape, kMostKnownTapes, tape.name, merged);
  for (const Card& card : came.cards) merge_card(there, card, merged);
  return merged;
}

std::string cards_csv(const Cards& cards) {
  std::string csv =
      "machine,time,stage,place,source,channel,status,nominal_hz,frequency_hz,speed_error_percent,u95_percent,"
      "weighted_two_sigma_percent,unweighted_two_sigma_percent,tolerance_percent,verdict,tape,note\r\n";
  for (const Card& card : cards.cards)
    for (const Measurement& visit : card.visits)
      for (const MeasuredChannel& channel : visit.channels) csv += csv_line(card, visit, channel);
  return csv;
}

}  // namespace four76
