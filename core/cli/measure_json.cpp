#include "core/cli/measure_json.hpp"

#include <nlohmann/json.hpp>

namespace four76::cli {
namespace {

using Json = nlohmann::ordered_json;

// Doubles come out with as many digits as bring them back unchanged.
template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
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
          {"level_dbfs", or_null(reading.level_dbfs)},
          {"carrier_to_noise_dbhz", or_null(reading.carrier_to_noise_dbhz)},
          {"reasons", std::move(reasons)}};
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
