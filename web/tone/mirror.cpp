#include "web/tone/mirror.hpp"

#include <optional>
#include <string>
#include <string_view>

#include "core/phrase.hpp"
#include "web/budget/budget.hpp"
#include "web/flutter/causes/mirror.hpp"
#include "web/flutter/mirror.hpp"
#include "web/song/mirror.hpp"
#include "web/tone/words.hpp"
#include "web/words/advice.hpp"
#include "web/words/numbers.hpp"

namespace four76 {
namespace {

// A number that is an old one, because nothing arrives any more, is not a measured one.
Status told_status(const Reading& reading, bool old) {
  return old && reading.status == Status::measured ? Status::unreliable : reading.status;
}

std::string_view spoken_status(Status status) {
  switch (status) {
    case Status::no_tone: return tr("no tone");
    case Status::unreliable: return tr("not to be trusted");
    case Status::measured: return tr("measured");
  }
  return "";
}

std::string spoken_reasons(const Model& model, const Reading& reading) {
  std::string all;
  for (const Reason reason : reading.reasons) {
    const words::Advice advice = words::advice(reason, model);
    if (!all.empty()) all += ' ';
    all += advice.what;
    if (!advice.todo.empty()) all += ' ' + advice.todo;
  }
  all += song_reasons_spoken(model);
  return all.empty() ? say("none##reasons") : all;
}

std::string spoken_level(const Reading& reading) {
  if (!reading.level_dbfs) return say("none##level");
  return say("{0} of full scale, {1}", words::fixed(*reading.level_dbfs, 0) + " dB",
             words::level_word(*reading.level_dbfs));
}

std::string spoken_noise(const Reading& reading) {
  if (!reading.carrier_to_noise_dbhz) return say("none##noise");
  return words::fixed(*reading.carrier_to_noise_dbhz, 0) + " dB-Hz, " +
         std::string(words::noise_word(*reading.carrier_to_noise_dbhz));
}

// What a reading is told with.
struct Told {
  Reading reading;
  FlutterReading flutter;
  FlutterPicture picture;
};

void put_words(JsonWriter& json, const Model& model, const Told& told, Status status) {
  const Reading& reading = told.reading;
  const bool number = reading.speed_error_percent.has_value();
  json.key("text").open('{');
  json.key("status").value(spoken_status(status));
  json.key("frequency_hz").value(reading.frequency_hz ? words::frequency(reading) : say("none##figure"));
  json.key("speed_error_percent").value(number ? words::speed_error(reading) : say("none##figure"));
  json.key("u95_percent").value(reading.u95_percent ? words::uncertainty(reading, Unit::percent) : say("none##figure"));
  json.key("budget_u95_percent")
      .value(reading.u95_percent ? words::uncertainty(in_all(model, reading), Unit::percent) : say("none##figure"));
  json.key("level_dbfs").value(spoken_level(reading));
  json.key("carrier_to_noise_dbhz").value(spoken_noise(reading));
  json.key("reasons").value(spoken_reasons(model, reading));
  put_flutter_words(json, told.flutter, told.picture);
  put_cause_words(json, model);
  put_song_words(json, model);
  json.close('}');
}

void put_reading(JsonWriter& json, const Model& model, const Told& told, std::string_view channel) {
  const Reading& reading = told.reading;
  const Status status = told_status(reading, model.interrupted.any());
  json.open('{');
  json.key("channel").value(channel);
  json.key("status").value(four76::name_of(status));
  json.key("frequency_hz").value(reading.frequency_hz);
  json.key("speed_error_percent").value(reading.speed_error_percent);
  json.key("u95_percent").value(reading.u95_percent);
  json.key("budget_u95_percent").value(in_all(model, reading).u95_percent);
  json.key("level_dbfs").value(reading.level_dbfs);
  json.key("carrier_to_noise_dbhz").value(reading.carrier_to_noise_dbhz);
  json.key("reasons").open('[');
  for (const Reason reason : reading.reasons) json.value(four76::name_of(reason));
  put_song_reasons(json, model);
  json.close(']');
  put_flutter(json, told.flutter, told.picture);
  put_cause_fields(json, model);
  put_song_fields(json, model);
  put_words(json, model, told, status);
  json.close('}');
}

// Without a reading there may still be a reason why there is none.
Reading no_reading(const Model& model) {
  Reading none;
  if (model.failure && model.failure->kind == Failure::Kind::narrow) none.reasons.add(Reason::narrow_capture);
  return none;
}

Told told_of(const Model& model, const ChannelSnapshot& channel) {
  if (is_file(model)) return {channel.whole, channel.whole_flutter, channel.flutter_picture};
  return {channel.dial, channel.flutter, channel.flutter_picture};
}

}  // namespace

void put_readings(JsonWriter& json, const Model& model) {
  const Reading* const shown = shown_reading(model);
  json.key("reading");
  if (shown) {
    put_reading(json, model, told_of(model, *shown_channel(model)),
                channel_label(*model.snapshot, model.shown_channel));
  } else {
    put_reading(json, model, {no_reading(model), {}, {}}, "mono");
  }
  json.key("channels").open('[');
  for (int i = 0; shown && i < model.snapshot->channels; ++i) {
    const ChannelSnapshot& channel = model.snapshot->channel[static_cast<std::size_t>(i)];
    put_reading(json, model, told_of(model, channel), channel_label(*model.snapshot, i));
  }
  json.close(']');
  json.key("channels_agree");
  if (shown && model.snapshot->channels_agree) {
    json.value(*model.snapshot->channels_agree);
  } else {
    json.raw("null");
  }
}

}  // namespace four76
