#include "core/cli/measure_json.hpp"

#include <nlohmann/json.hpp>

#include "core/cli/causes_json.hpp"

namespace four76::cli {
namespace {

using Json = nlohmann::ordered_json;

// Doubles come out with as many digits as bring them back unchanged.
template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json percent_of(const std::optional<FlutterFigure>& figure) {
  return figure ? or_null(figure->percent) : Json(nullptr);
}

Json to_object(const FlutterReading& flutter) {
  const auto& weighted = flutter.weighted_two_sigma;
  const auto of_weighted = [&](std::optional<double> FlutterFigure::*member) {
    return weighted ? or_null((*weighted).*member) : Json(nullptr);
  };
  Json object = {{"weighted_two_sigma_percent", percent_of(weighted)},
                 {"weighted_two_sigma_u95_percent", of_weighted(&FlutterFigure::u95_percent)},
                 {"weighted_quasi_peak_percent", percent_of(flutter.weighted_quasi_peak)},
                 {"unweighted_two_sigma_percent", percent_of(flutter.unweighted_two_sigma)},
                 {"weighted_rms_percent", percent_of(flutter.weighted_rms)},
                 {"unweighted_rms_percent", percent_of(flutter.unweighted_rms)},
                 {"wow_two_sigma_percent", percent_of(flutter.wow_two_sigma)},
                 {"wow_rms_percent", percent_of(flutter.wow_rms)},
                 {"flutter_two_sigma_percent", percent_of(flutter.flutter_two_sigma)},
                 {"flutter_rms_percent", percent_of(flutter.flutter_rms)},
                 {"noise_floor_percent", of_weighted(&FlutterFigure::noise_percent)},
                 {"drift_percent_per_minute", nullptr},
                 {"drift_u95_percent_per_minute", nullptr}};
  if (flutter.drift) {
    object["drift_percent_per_minute"] = flutter.drift->percent_per_minute;
    object["drift_u95_percent_per_minute"] = flutter.drift->u95_percent_per_minute;
  }
  return object;
}

Json to_array(const std::vector<FlutterPeak>& components) {
  Json array = Json::array();
  for (const FlutterPeak& peak : components)
    array.push_back({{"rate_hz", peak.rate_hz},
                     {"rate_u95_hz", peak.rate_u95_hz},
                     {"peak_percent", peak.peak_percent},
                     {"peak_u95_percent", peak.peak_u95_percent},
                     {"steady", peak.steady},
                     {"foreign", peak.foreign},
                     {"change_hz_per_minute", peak.moving ? Json(peak.change_hz_per_minute) : Json(nullptr)}});
  return array;
}

// The level's own flutter, and the dropouts.
Json to_object(const LevelReading& level) {
  Json object = {{"rms_percent", percent_of(level.rms)},
                 {"dropouts", nullptr},
                 {"dropouts_per_minute", nullptr},
                 {"deepest_dropout_db", nullptr}};
  if (!level.dropouts) return object;
  object["dropouts"] = level.dropouts->count;
  object["dropouts_per_minute"] = level.dropouts->per_minute;
  object["deepest_dropout_db"] = or_null(level.dropouts->deepest_db);
  return object;
}

Json to_object(const ChannelReading& channel) {
  const Reading& reading = channel.reading;
  Json reasons = Json::array();
  for (const Reason reason : reading.reasons) reasons.push_back(name_of(reason));
  return {{"channel", channel.channel},
          {"status", name_of(reading.status)},
          {"frequency_hz", or_null(reading.frequency_hz)},
          {"speed_error_percent", or_null(reading.speed_error_percent)},
          {"u95_percent", or_null(reading.u95_percent)},
          {"budget_u95_percent", or_null(channel.budget.sum_percent)},
          {"level_dbfs", or_null(reading.level_dbfs)},
          {"carrier_to_noise_dbhz", or_null(reading.carrier_to_noise_dbhz)},
          {"reasons", std::move(reasons)},
          {"other_tone_hz", or_null(reading.other_tone_hz)},
          {"other_tone_error_percent", or_null(reading.other_tone_error_percent)},
          {"candidates_hz", or_null(reading.candidates_hz)},
          {"taken_out_hz", or_null(reading.taken_out_hz)},
          {"flutter", to_object(channel.flutter)},
          {"components", to_array(channel.components)},
          {"level", to_object(channel.level)},
          {"causes", causes_to_json(channel.causes)},
          {"no_causes_because", channel.causes.thin ? Json(name_of(*channel.causes.thin)) : Json(nullptr)},
          {"verdicts", verdicts_to_json(channel.verdicts)}};
}

}  // namespace

std::string to_json(const Measurement& measurement) {
  Json channels = Json::array();
  for (const ChannelReading& channel : measurement.channels) channels.push_back(to_object(channel));
  Json object = {{"schema", "four76.measure/1"},
                 {"file", measurement.file},
                 {"sample_rate_hz", measurement.sample_rate_hz},
                 {"duration_s", measurement.duration_s},
                 {"tone_nominal_hz", measurement.tone_nominal_hz},
                 {"channels", std::move(channels)},
                 {"channels_agree", or_null(measurement.channels_agree)},
                 {"channels_identical", or_null(measurement.channels_identical)}};
  if (measurement.clock_ppm) object["clock_ppm"] = *measurement.clock_ppm;
  return object.dump(2, ' ', false, Json::error_handler_t::replace);
}

}  // namespace four76::cli
