// The JSON of the cards written, field by field.
#include <cmath>
#include <utility>

#include "core/records/card.hpp"
#include "core/records/json.hpp"

namespace four76 {
namespace {

Json time_json(std::int64_t ms) { return Json::number(static_cast<double>(ms)); }

// Writes only what is known.
class ObjectWriter {
 public:
  ObjectWriter& text(std::string_view name, std::string_view value) {
    if (!value.empty()) json_.set(name, Json::string(value));
    return *this;
  }
  ObjectWriter& number(std::string_view name, std::optional<double> value) {
    if (value) json_.set(name, Json::number(*value));
    return *this;
  }
  ObjectWriter& flag(std::string_view name, std::optional<bool> value) {
    if (value) json_.set(name, Json::boolean(*value));
    return *this;
  }
  ObjectWriter& value(std::string_view name, Json value) {
    json_.set(name, std::move(value));
    return *this;
  }
  Json take() { return std::move(json_); }

 private:
  Json json_ = Json::object();
};

Json json_of(const MeasuredChannel& channel) {
  Json reasons = Json::array(), components = Json::array();
  for (const Reason reason : channel.reasons) reasons.add(Json::string(name_of(reason)));
  for (const Component& each : channel.components)
    components.add(ObjectWriter().number("rate_hz", each.rate_hz).number("peak_percent", each.peak_percent).take());
  return ObjectWriter()
      .text("channel", channel.channel)
      .text("status", name_of(channel.status))
      .value("reasons", std::move(reasons))
      .number("frequency_hz", channel.frequency_hz)
      .number("speed_error_percent", channel.speed_error_percent)
      .number("u95_percent", channel.u95_percent)
      .number("level_dbfs", channel.level_dbfs)
      .number("carrier_to_noise_dbhz", channel.carrier_to_noise_dbhz)
      .number("weighted_two_sigma_percent", channel.weighted_two_sigma_percent)
      .number("weighted_quasi_peak_percent", channel.weighted_quasi_peak_percent)
      .number("unweighted_two_sigma_percent", channel.unweighted_two_sigma_percent)
      .number("drift_percent_per_minute", channel.drift_percent_per_minute)
      .value("components", std::move(components))
      .take();
}

double rounded_to(double value, double step) noexcept { return std::round(value / step) * step; }

Json course_of(const Measurement& visit) {
  Json percent = Json::array();
  for (const auto& each : visit.course_percent) percent.add(each ? Json::number(rounded_to(*each, 1e-4)) : Json());
  return ObjectWriter().number("step_s", visit.course_step_s).value("percent", std::move(percent)).take();
}

Json spectrum_of(const Measurement& visit) {
  Json level = Json::array();
  for (const double each : visit.spectrum_dbfs) level.add(Json::number(rounded_to(each, 0.1)));
  return ObjectWriter()
      .number("first_hz", visit.spectrum_first_hz)
      .number("bin_hz", visit.spectrum_bin_hz)
      .value("dbfs", std::move(level))
      .take();
}

Json json_of(const TapesEvidence& evidence) {
  const auto told = [](bool goes_by_it) { return goes_by_it ? std::optional(true) : std::nullopt; };
  return ObjectWriter()
      .number("tapes", evidence.tapes)
      .number("speed_error_percent", evidence.speed_error_percent)
      .number("u95_percent", evidence.u95_percent)
      .number("concert_a_hz", evidence.concert_a_hz)
      .flag("line_scan", told(evidence.line_scan))
      .flag("mains_hum", told(evidence.mains_hum))
      .text("sounds_like", name_of(evidence.sounds_like))
      .take();
}

Json json_of(const Measurement& visit) {
  ObjectWriter out;
  Json channels = Json::array();
  for (const MeasuredChannel& channel : visit.channels) channels.add(json_of(channel));
  out.text("id", visit.id)
      .text("time", visit.time)
      .text("stage", name_of(visit.stage))
      .text("place", name_of(visit.place))
      .text("source", name_of(visit.source))
      .number("seconds", visit.seconds)
      .number("nominal_hz", visit.by_tapes ? std::nullopt : std::optional(visit.nominal_hz))
      .number("tape_u95_percent", visit.tape_u95_percent)
      .number("clock_ppm", visit.clock_ppm)
      .number("clock_u95_ppm", visit.clock_u95_ppm)
      .number("tolerance_percent", visit.tolerance_percent)
      .text("tape", visit.tape)
      .text("device", visit.device)
      .text("note", visit.note)
      .value("channels", std::move(channels));
  if (visit.changed_ms != 0) out.value("changed_ms", time_json(visit.changed_ms));
  if (!visit.course_percent.empty()) out.value("course", course_of(visit));
  if (!visit.spectrum_dbfs.empty()) out.value("spectrum", spectrum_of(visit));
  if (visit.by_tapes) out.value("by_tapes", json_of(*visit.by_tapes));
  return out.take();
}

Json json_of(const Card& card) {
  Json visits = Json::array();
  for (const Measurement& visit : card.visits) visits.add(json_of(visit));
  return ObjectWriter()
      .text("id", card.id)
      .text("name", card.name)
      .text("kind", card.kind)
      .text("parts", card.parts)
      .text("trimmer_place", card.trimmer_place)
      .flag("clockwise_is_faster", card.clockwise_is_faster)
      .number("tolerance_percent", card.tolerance_percent)
      .text("note", card.note)
      .value("changed_ms", time_json(card.changed_ms))
      .value("visits", std::move(visits))
      .take();
}

Json json_of(const KnownTape& tape) {
  return ObjectWriter()
      .text("id", tape.id)
      .text("name", tape.name)
      .number("true_hz", tape.true_hz)
      .number("u95_percent", tape.u95_percent)
      .text("certified_by", tape.certified_by)
      .text("note", tape.note)
      .value("changed_ms", time_json(tape.changed_ms))
      .take();
}

}  // namespace

std::string write_cards(const Cards& cards) {
  Json tapes = Json::array(), list = Json::array();
  for (const KnownTape& tape : cards.tapes) tapes.add(json_of(tape));
  for (const Card& card : cards.cards) list.add(json_of(card));
  return write_json(ObjectWriter()
                        .text("schema", "four76.cards/1")
                        .value("tapes", std::move(tapes))
                        .value("cards", std::move(list))
                        .take());
}

std::string write_visit(const Measurement& visit) { return write_json(json_of(visit)); }

}  // namespace four76
