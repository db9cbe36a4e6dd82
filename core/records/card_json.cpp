// The JSON of the cards read, with every field judged.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "core/phrase.hpp"
#include "core/records/card.hpp"
#include "core/records/json.hpp"
#include "core/records/parts_text.hpp"
#include "core/tone/nominal_tones.hpp"

namespace four76 {
namespace {

constexpr std::string_view kSchemaName = "four76.cards/", kSchema = "four76.cards/1";
constexpr double kLatest_ms = 4.0e12;        // the year 2096
constexpr double kFarthest_percent = 100.0;  // no speed that is measured lies further off
constexpr double kLargest = 1e9;
constexpr std::size_t kLongestId = 64;
constexpr double kMostTapesTold = 1000.0;  // of one machine, more than anybody plays

// Reads one object; the first thing that is wrong stays.
class ObjectReader {
 public:
  explicit ObjectReader(const Json& json) : json_(json) {
    if (json.kind() != Json::Kind::object) complain(say("it is not a record"));
  }
  [[nodiscard]] bool sound() const noexcept { return why_.empty(); }
  [[nodiscard]] const std::string& why() const noexcept { return why_; }
  void complain(std::string why) {
    if (why_.empty()) why_ = std::move(why);
  }
  void complain(Phrase what, std::string_view name) { complain(say(what, name)); }

  void text(std::string_view name, std::string& out, std::size_t longest, bool needed = false) {
    const Json* value = known(name);
    if (!value) return needed ? complain(Phrase("{0} is missing"), name) : void();
    const std::string* text = value->as_string();
    if (!text) return complain(Phrase("{0} is not text"), name);
    if (text->size() > longest) return complain(Phrase("{0} is too long"), name);
    if (needed && text->empty()) return complain(Phrase("{0} is empty"), name);
    out = *text;
  }
  void number(std::string_view name, std::optional<double>& out, double least, double most) {
    const Json* value = known(name);
    if (!value) return;
    const auto number = value->as_number();
    if (!number) return complain(Phrase("{0} is not a number"), name);
    if (!(*number >= least && *number <= most)) return complain(Phrase("{0} is out of range"), name);
    out = number;
  }
  void number(std::string_view name, double& out, double least, double most) {
    std::optional<double> value;
    number(name, value, least, most);
    out = value.value_or(out);
  }
  void needed(std::string_view name, double& out, double least, double most) {
    if (!known(name)) return complain(Phrase("{0} is missing"), name);
    number(name, out, least, most);
  }
  void flag(std::string_view name, std::optional<bool>& out) {
    const Json* value = known(name);
    if (!value) return;
    out = value->as_boolean();
    if (!out) complain(Phrase("{0} is neither true nor false"), name);
  }
  void flag(std::string_view name, bool& out) {
    std::optional<bool> truth;
    flag(name, truth);
    out = truth.value_or(out);
  }
  void time(std::int64_t& out_ms) {
    double ms = 0.0;
    number("changed_ms", ms, 0.0, kLatest_ms);
    out_ms = std::llround(ms);
  }
  template <typename Value>
  void word(std::string_view name, Value& out, Value last) {
    std::string text;
    word_text(name, text);
    for (int i = 0; i <= static_cast<int>(last) && !text.empty(); ++i)
      if (name_of(static_cast<Value>(i)) == text) return void(out = static_cast<Value>(i));
    if (!text.empty()) complain(Phrase("{0}: unknown word"), name);
  }
  // An array of at most so many; nothing where it is absent.
  [[nodiscard]] const std::vector<Json>* list(std::string_view name, std::size_t most) {
    const Json* value = known(name);
    if (!value) return nullptr;
    if (value->kind() != Json::Kind::array) return complain(Phrase("{0} is not a list"), name), nullptr;
    if (value->items().size() > most) return complain(Phrase("{0} is too long"), name), nullptr;
    return &value->items();
  }
  [[nodiscard]] const Json* known(std::string_view name) const noexcept {
    const Json* value = json_.find(name);
    return value && value->kind() != Json::Kind::null ? value : nullptr;
  }

 private:
  void word_text(std::string_view name, std::string& text) { this->text(name, text, kLongestName); }
  const Json& json_;
  std::string why_;
};

void read_components(ObjectReader& in, std::vector<Component>& components) {
  const auto* list = in.list("components", kMostComponents);
  if (!list) return;
  for (const Json& item : *list) {
    ObjectReader each(item);
    Component component;
    each.number("rate_hz", component.rate_hz, 0.0, 1000.0);
    each.number("peak_percent", component.peak_percent, 0.0, kFarthest_percent);
    if (!each.sound()) return in.complain("components: " + each.why());
    components.push_back(component);
  }
}

void read_reasons(ObjectReader& in, ReasonList& reasons) {
  const auto* list = in.list("reasons", kReasonCount);
  if (!list) return;
  for (const Json& item : *list) {
    std::size_t i = 0;
    while (i < kReasonCount && !(item.as_string() && name_of(static_cast<Reason>(i)) == *item.as_string())) ++i;
    if (i == kReasonCount) return in.complain(Phrase("{0}: unknown word"), "reasons");
    reasons.add(static_cast<Reason>(i));
  }
}

MeasuredChannel read_channel(ObjectReader& in) {
  MeasuredChannel channel;
  in.text("channel", channel.channel, 8, true);
  in.word("status", channel.status, Status::measured);
  read_reasons(in, channel.reasons);
  in.number("frequency_hz", channel.frequency_hz, 0.0, 100000.0);
  in.number("speed_error_percent", channel.speed_error_percent, -kFarthest_percent, kFarthest_percent);
  in.number("u95_percent", channel.u95_percent, 0.0, kFarthest_percent);
  in.number("level_dbfs", channel.level_dbfs, -400.0, 100.0);
  in.number("carrier_to_noise_dbhz", channel.carrier_to_noise_dbhz, -400.0, 400.0);
  in.number("weighted_two_sigma_percent", channel.weighted_two_sigma_percent, 0.0, kFarthest_percent);
  in.number("weighted_quasi_peak_percent", channel.weighted_quasi_peak_percent, 0.0, kFarthest_percent);
  in.number("unweighted_two_sigma_percent", channel.unweighted_two_sigma_percent, 0.0, kFarthest_percent);
  in.number("drift_percent_per_minute", channel.drift_percent_per_minute, -kLargest, kLargest);
  read_components(in, channel.components);
  return channel;
}

void read_channels(ObjectReader& in, std::vector<MeasuredChannel>& channels) {
  const auto* list = in.list("channels", 2);
  if (!list) return;
  for (const Json& item : *list) {
    ObjectReader each(item);
    channels.push_back(read_channel(each));
    if (!each.sound()) return in.complain("channels: " + each.why());
  }
}

TapesEvidence read_evidence(ObjectReader& in) {
  TapesEvidence evidence;
  double tapes = 1.0;
  in.needed("tapes", tapes, 1.0, kMostTapesTold);
  if (tapes != std::floor(tapes)) in.complain(Phrase("{0} is out of range"), "tapes");
  evidence.tapes = static_cast<int>(tapes);
  in.needed("speed_error_percent", evidence.speed_error_percent, -kFarthest_percent, kFarthest_percent);
  in.needed("u95_percent", evidence.u95_percent, 0.0, kFarthest_percent);
  in.number("concert_a_hz", evidence.concert_a_hz, 100.0, 1000.0);
  in.flag("line_scan", evidence.line_scan);
  in.flag("mains_hum", evidence.mains_hum);
  in.word("sounds_like", evidence.sounds_like, SoundsLike::fast);
  return evidence;
}

void read_by_tapes(ObjectReader& in, Measurement& visit) {
  if (const Json* json = in.known("by_tapes")) {
    ObjectReader each(*json);
    visit.by_tapes = read_evidence(each);
    if (!each.sound()) in.complain("by_tapes: " + each.why());
  }
  const bool measured = visit.stage != VisitStage::between || !visit.channels.empty() ||
                        !visit.course_percent.empty() || !visit.spectrum_dbfs.empty();
  if (visit.by_tapes.has_value() != (visit.source == VisitSource::tapes) || (visit.by_tapes && measured))
    in.complain(say("a measurement and what tapes told are mixed"));
}

void read_course(ObjectReader& in, Measurement& visit) {
  const Json* json = in.known("course");
  if (!json) return;
  ObjectReader course(*json);
  course.number("step_s", visit.course_step_s, 0.0, 1e6);
  if (const auto* list = course.list("percent", kMostCourse))
    for (const Json& item : *list) {
      const auto percent = item.as_number();
      if (item.kind() != Json::Kind::null && !(percent && std::abs(*percent) <= kFarthest_percent))
        course.complain(Phrase("{0} holds something that is not a speed"), "percent");
      visit.course_percent.push_back(percent);
    }
  if (!course.sound()) in.complain("course: " + course.why());
}

void read_spectrum(ObjectReader& in, Measurement& visit) {
  const Json* json = in.known("spectrum");
  if (!json) return;
  ObjectReader spectrum(*json);
  spectrum.number("first_hz", visit.spectrum_first_hz, 0.0, 1e6);
  spectrum.number("bin_hz", visit.spectrum_bin_hz, 0.0, 1e6);
  if (const auto* list = spectrum.list("dbfs", kMostSpectrum))
    for (const Json& item : *list) {
      const auto level = item.as_number();
      if (!level || std::abs(*level) > 1000.0)
        spectrum.complain(Phrase("{0} holds something that is not a level"), "dbfs");
      visit.spectrum_dbfs.push_back(level.value_or(0.0));
    }
  if (!spectrum.sound()) in.complain("spectrum: " + spectrum.why());
}

Measurement read_visit(ObjectReader& in) {
  Measurement visit;
  in.text("id", visit.id, kLongestId, true);
  in.text("time", visit.time, 32);
  in.word("stage", visit.stage, VisitStage::between);
  in.word("place", visit.place, TapePlace::end);
  in.word("source", visit.source, VisitSource::tapes);
  in.number("seconds", visit.seconds, 0.0, 1e6);
  in.number("nominal_hz", visit.nominal_hz, 1.0, 100000.0);
  in.number("tape_u95_percent", visit.tape_u95_percent, 0.0, kFarthest_percent);
  in.number("clock_ppm", visit.clock_ppm, -1e5, 1e5);
  in.number("clock_u95_ppm", visit.clock_u95_ppm, 0.0, 1e5);
  in.number("tolerance_percent", visit.tolerance_percent, 1e-6, kFarthest_percent);
  in.text("tape", visit.tape, kLongestName);
  in.text("device", visit.device, kLongestName);
  in.text("note", visit.note, kLongestNote);
  in.time(visit.changed_ms);
  read_channels(in, visit.channels);
  read_course(in, visit);
  read_spectrum(in, visit);
  read_by_tapes(in, visit);
  return visit;
}

template <typename Record>
bool has_id(const std::vector<Record>& records, const std::string& id) {
  return std::any_of(records.begin(), records.end(), [&](const Record& each) { return each.id == id; });
}

std::string told(const RecordPlace& place) {
  const std::string number = std::to_string(place.index + 1);
  if (place.kind == RecordKind::tape) return say("tape {0}", number);
  const std::string card = say("card {0}", number);
  return place.visit ? say("{1}, visit {0}", std::to_string(*place.visit + 1), card) : card;
}

// The records of a list; `place_of` says where each stands. What is broken, there twice, or one too many is set aside
// whole: nothing within it is named any more.
template <typename Record, typename PlaceOf, typename Read>
std::vector<Record> read_records(const std::vector<Json>& list, std::size_t most, std::vector<SetAside>& set_aside,
                                 PlaceOf&& place_of, Read&& read) {
  std::vector<Record> records;
  for (std::size_t i = 0; i < list.size(); ++i) {
    const auto before = static_cast<std::ptrdiff_t>(set_aside.size());
    ObjectReader in(list[i]);
    Record record = read(in, i);
    std::string why = in.why();
    if (why.empty() && has_id(records, record.id)) why = say("another one has the same id");
    if (why.empty() && records.size() == most) why = say("there are too many");
    if (why.empty()) {
      records.push_back(std::move(record));
      continue;
    }
    set_aside.erase(set_aside.begin() + before, set_aside.end());
    set_aside.push_back({told(place_of(i)), why, place_of(i)});
  }
  return records;
}

Card read_card(ObjectReader& in, std::size_t index, std::vector<SetAside>& set_aside) {
  Card card;
  in.text("id", card.id, kLongestId, true);
  in.text("name", card.name, kLongestName);
  in.text("kind", card.kind, kLongestName);
  in.text("parts", card.parts, 400);
  if (!card.parts.empty() && !known_parts_of(card.parts)) in.complain(Phrase("{0} cannot be read"), "parts");
  in.text("trimmer_place", card.trimmer_place, kLongestName);
  in.flag("clockwise_is_faster", card.clockwise_is_faster);
  in.number("tolerance_percent", card.tolerance_percent, 1e-6, kFarthest_percent);
  in.text("note", card.note, kLongestNote);
  in.time(card.changed_ms);
  const auto* visits = in.list("visits", 100 * kMostVisits);
  if (visits && in.sound())
    card.visits = read_records<Measurement>(
        *visits, kMostVisits, set_aside,
        [index](std::size_t visit) {
          return RecordPlace{RecordKind::card, index, visit};
        },
        [](ObjectReader& each, std::size_t) { return read_visit(each); });
  return card;
}

KnownTape read_tape(ObjectReader& in) {
  KnownTape tape;
  in.text("id", tape.id, kLongestId, true);
  in.text("name", tape.name, kLongestName);
  in.number("true_hz", tape.true_hz, kLowestNominalHz, kHighestNominalHz);
  in.number("u95_percent", tape.u95_percent, 0.0, kFarthest_percent);
  in.text("certified_by", tape.certified_by, kLongestName);
  in.text("note", tape.note, kLongestNote);
  in.time(tape.changed_ms);
  return tape;
}

std::optional<CardsFault> fault_of_schema(const Json& file) {
  const Json* schema = file.find("schema");
  const std::string* name = schema ? schema->as_string() : nullptr;
  if (!name || !name->starts_with(kSchemaName)) return CardsFault{say("The file holds no cards of this page.")};
  if (*name != kSchema)
    return CardsFault{say("The file was made by a later version of this page. Reload the page, then try again.")};
  return std::nullopt;
}

}  // namespace

std::string_view name_of(RecordKind kind) noexcept { return kind == RecordKind::tape ? "tape" : "card"; }

Result<ReadCards, CardsFault> read_cards(std::string_view text) {
  JsonLimits limits;
  limits.bytes = kLargestCardsFile;
  const auto parsed = parse_json(text, limits);
  if (!parsed) return CardsFault{std::string(message_of(parsed.fault()))};
  if (auto fault = fault_of_schema(*parsed)) return *fault;
  ReadCards read;
  ObjectReader file(*parsed);
  if (const auto* tapes = file.list("tapes", 100 * kMostKnownTapes))
    read.cards.tapes = read_records<KnownTape>(
        *tapes, kMostKnownTapes, read.set_aside,
        [](std::size_t i) {
          return RecordPlace{RecordKind::tape, i, {}};
        },
        [](ObjectReader& in, std::size_t) { return read_tape(in); });
  if (const auto* cards = file.list("cards", 100 * kMostCards))
    read.cards.cards = read_records<Card>(
        *cards, kMostCards, read.set_aside,
        [](std::size_t i) {
          return RecordPlace{RecordKind::card, i, {}};
        },
        [&](ObjectReader& in, std::size_t i) { return read_card(in, i, read.set_aside); });
  if (!file.sound()) return CardsFault{say("The file is damaged: {0}.", file.why())};
  return read;
}

}  // namespace four76
