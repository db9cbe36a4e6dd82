#include "web/mirror.hpp"

#include <cstdio>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "core/tone/nominal_tones.hpp"
#include "web/intent.hpp"
#include "web/json.hpp"
#include "web/words.hpp"

namespace four76 {
namespace {

constexpr std::string_view kOwnValue = "own";  // the choice that opens a dialog

std::string_view name_of(Phase phase) {
  switch (phase) {
    case Phase::idle: return "idle";
    case Phase::asking: return "asking";
    case Phase::listening: return "listening";
    case Phase::demo: return "demo";
    case Phase::measuring_file: return "measuring_file";
    case Phase::file_shown: return "file_shown";
    case Phase::failed: return "failed";
  }
  return "";
}

// ---- Readings -------------------------------------------------------------------------------------------------------

// A number that is an old one, because nothing arrives any more, is not a measured one.
Status told_status(const Reading& reading, bool old) {
  return old && reading.status == Status::measured ? Status::unreliable : reading.status;
}

std::string_view spoken_status(Status status) {
  switch (status) {
    case Status::no_tone: return "no tone";
    case Status::unreliable: return "not to be trusted";
    case Status::measured: return "measured";
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
  return all.empty() ? "none" : all;
}

std::string spoken_level(const Reading& reading) {
  if (!reading.level_dbfs) return "none";
  return words::fixed(*reading.level_dbfs, 0) + " dB of full scale, " +
         std::string(words::level_word(*reading.level_dbfs));
}

std::string spoken_noise(const Reading& reading) {
  if (!reading.carrier_to_noise_dbhz) return "none";
  return words::fixed(*reading.carrier_to_noise_dbhz, 0) + " dB-Hz, " +
         std::string(words::noise_word(*reading.carrier_to_noise_dbhz));
}

void put_words(JsonWriter& json, const Model& model, const Reading& reading, Status status) {
  const bool number = reading.frequency_hz && reading.speed_error_percent;
  json.key("text").open('{');
  json.key("status").value(spoken_status(status));
  json.key("frequency_hz").value(number ? words::frequency(reading) : "none");
  json.key("speed_error_percent").value(number ? words::speed_error(reading) : "none");
  json.key("u95_percent").value(reading.u95_percent ? words::uncertainty(reading, Unit::percent) : "none");
  json.key("level_dbfs").value(spoken_level(reading));
  json.key("carrier_to_noise_dbhz").value(spoken_noise(reading));
  json.key("reasons").value(spoken_reasons(model, reading));
  json.close('}');
}

void put_reading(JsonWriter& json, const Model& model, const Reading& reading, std::string_view channel) {
  const Status status = told_status(reading, model.interrupted.any());
  json.open('{');
  json.key("channel").value(channel);
  json.key("status").value(four76::name_of(status));
  json.key("frequency_hz").value(reading.frequency_hz);
  json.key("speed_error_percent").value(reading.speed_error_percent);
  json.key("u95_percent").value(reading.u95_percent);
  json.key("level_dbfs").value(reading.level_dbfs);
  json.key("carrier_to_noise_dbhz").value(reading.carrier_to_noise_dbhz);
  json.key("reasons").open('[');
  for (const Reason reason : reading.reasons) json.value(four76::name_of(reason));
  json.close(']');
  put_words(json, model, reading, status);
  json.close('}');
}

// Without a reading there may still be a reason why there is none.
Reading no_reading(const Model& model) {
  Reading none;
  if (model.failure && model.failure->kind == Failure::Kind::narrow) none.reasons.add(Reason::narrow_capture);
  return none;
}

std::string_view channel_label(const Snapshot& snapshot, int channel) {
  if (snapshot.channels < 2) return "mono";
  return channel == 1 ? "right" : "left";
}

void put_readings(JsonWriter& json, const Model& model) {
  const Reading* const shown = shown_reading(model);
  json.key("reading");
  if (shown) {
    put_reading(json, model, *shown, channel_label(*model.snapshot, model.shown_channel));
  } else {
    put_reading(json, model, no_reading(model), "mono");
  }
  json.key("channels").open('[');
  for (int i = 0; shown && i < model.snapshot->channels; ++i) {
    const ChannelSnapshot& channel = model.snapshot->channel[static_cast<std::size_t>(i)];
    put_reading(json, model, is_file(model) ? channel.whole : channel.dial, channel_label(*model.snapshot, i));
  }
  json.close(']');
  json.key("channels_agree");
  if (shown && model.snapshot->channels_agree) {
    json.value(*model.snapshot->channels_agree);
  } else {
    json.raw("null");
  }
}

// ---- Controls -------------------------------------------------------------------------------------------------------

using Option = std::pair<std::string, std::string>;  // value, label

void put_control(JsonWriter& json, std::string_view name, std::string_view value, const std::vector<Option>& options) {
  json.key(name).open('{');
  json.key("value").value(value);
  json.key("options").open('[');
  for (const Option& option : options) json.open('[').value(option.first).value(option.second).close(']');
  json.close(']').close('}');
}

std::string plain(double value) {  // as controls and settings have it
  char text[32];
  std::snprintf(text, sizeof text, "%.9g", value);
  return text;
}

std::vector<Option> tone_options(double chosen_hz) {
  std::vector<Option> options;
  for (const double hz : kStandardTonesHz) options.emplace_back(plain(hz), words::tone_name(hz));
  if (!is_standard_tone(chosen_hz)) options.emplace_back(plain(chosen_hz), words::tone_name(chosen_hz));
  options.emplace_back(kOwnValue, "Other\u2026");
  return options;
}

std::vector<Option> tolerance_options(double chosen_percent) {
  std::vector<Option> options;
  for (const Tolerance& t : kTolerances) options.emplace_back(plain(t.percent), words::tolerance_name(t.percent));
  if (!is_standard_tolerance(chosen_percent))
    options.emplace_back(plain(chosen_percent), words::tolerance_name(chosen_percent));
  options.emplace_back(kOwnValue, "Own\u2026");
  return options;
}

std::vector<Option> tape_options(std::optional<double> chosen_percent) {
  std::vector<Option> options = {{"", words::tape_tolerance_name(std::nullopt)}};
  bool listed = !chosen_percent;
  for (const double percent : kTapeTolerancesPercent) {
    options.emplace_back(plain(percent), words::tape_tolerance_name(percent));
    listed = listed || percent == chosen_percent;
  }
  if (!listed) options.emplace_back(plain(*chosen_percent), words::tape_tolerance_name(chosen_percent));
  options.emplace_back(kOwnValue, "Own\u2026");
  return options;
}

std::vector<Option> device_options(const Model& model) {
  std::vector<Option> options = {{"", "the browser's choice"}};
  bool listed = model.settings.device_id.empty();
  for (const browser::InputDevice& device : model.devices) {
    if (device.id.empty() || device.id == "default") continue;
    options.emplace_back(device.id, device.label);
    listed = listed || device.id == model.settings.device_id;
  }
  if (!listed) options.emplace_back(model.settings.device_id, "the one chosen last");
  return options;
}

template <class Choice>
std::vector<Option> options_of(std::initializer_list<Choice> all, std::string_view (*name)(Choice) noexcept) {
  std::vector<Option> options;
  for (const Choice choice : all) options.emplace_back(control_value(choice), name(choice));
  return options;
}

void put_controls(JsonWriter& json, const Model& model) {
  const Settings& settings = model.settings;
  json.key("controls").open('{');
  put_control(json, "tone", plain(settings.nominal_hz), tone_options(settings.nominal_hz));
  put_control(json, "tolerance", plain(settings.tolerance_percent), tolerance_options(settings.tolerance_percent));
  const auto tape = settings.tape_tolerance_percent;
  put_control(json, "tape-tolerance", tape ? plain(*tape) : "", tape_options(tape));
  put_control(json, "unit", control_value(settings.unit),
              options_of({Unit::percent, Unit::cents, Unit::hertz}, &words::unit_name));
  put_control(json, "channel", control_value(settings.channel),
              options_of({ChannelChoice::both, ChannelChoice::left, ChannelChoice::right}, &words::channel_name));
  put_control(json, "device", settings.device_id, device_options(model));
  json.close('}');
}

void put_messages(JsonWriter& json, const Model& model) {
  constexpr std::string_view kWeights[] = {"fact", "warning", "fault"};
  json.key("messages").open('[');
  for (const words::Message& message : words::messages(model)) {
    json.open('{');
    json.key("weight").value(kWeights[static_cast<int>(message.weight)]);
    json.key("text").value(message.text);
    json.key("act").value(message.act);
    json.close('}');
  }
  json.close(']');
}

// ---- What there is to do, how far off it may be, the clock
// ------------------------------------------------------------

void put_advice(JsonWriter& json, const Model& model) {
  const Reading* const shown = shown_reading(model);
  json.key("advice").open('[');
  if (shown) {
    for (const Reason reason : shown->reasons) {
      const words::Advice advice = words::advice(reason, model);
      json.open('{');
      json.key("reason").value(four76::name_of(reason));
      json.key("what").value(advice.what);
      json.key("todo").value(advice.todo);
      json.close('}');
    }
  }
  json.close(']');
  json.key("doubt").value(model.capture ? words::processing_doubt(*model.capture) : "");
}

void put_line(JsonWriter& json, const words::BudgetLine& line) {
  json.open('{');
  json.key("name").value(line.name);
  json.key("amount").value(line.amount);
  json.key("note").value(line.note);
  json.close('}');
}

void put_budget(JsonWriter& json, const Model& model) {
  const ErrorBudget terms = budget(model).value_or(Budget{}).terms;
  json.key("budget").open('{');
  json.key("noise_percent").value(terms.noise_percent);
  json.key("wow_percent").value(terms.wow_percent);
  json.key("clock_percent").value(terms.clock_percent);
  json.key("tape_percent").value(terms.tape_percent);
  json.key("sum_percent").value(terms.sum_percent);
  json.key("of").value(words::budget_of(model));
  json.key("terms").open('[');
  for (const words::BudgetLine& line : words::budget_terms(model)) put_line(json, line);
  json.close(']');
  json.key("sum");
  put_line(json, words::budget_sum(model));
  json.close('}');
}

std::string_view name_of(ClockCheck::Stage stage) {
  switch (stage) {
    case ClockCheck::Stage::listening: return "listening";
    case ClockCheck::Stage::found: return "found";
    case ClockCheck::Stage::kept: return "kept";
    case ClockCheck::Stage::refused: return "refused";
  }
  return "";
}

void put_clock(JsonWriter& json, const Model& model) {
  json.key("clock").open('{');
  json.key("stage").value(model.clock_check ? name_of(model.clock_check->stage) : "");
  json.key("said").value(words::clock_said(model));
  json.key("progress")
      .value(checks_clock(model) ? std::optional(model.clock_check->heard_s / kShortestClockCheck_s) : std::nullopt);
  std::optional<double> fast_ppm, u95_ppm;
  if (model.clock_check && model.clock_check->so_far) {
    fast_ppm = model.clock_check->so_far->fast_ppm;
    u95_ppm = model.clock_check->so_far->u95_ppm;
  }
  json.key("fast_ppm").value(fast_ppm);
  json.key("u95_ppm").value(u95_ppm);
  const CheckedClock* const used = clock_in_use(model);
  json.key("corrected_ppm").value(used ? std::optional(used->correction.fast_ppm) : std::nullopt);
  json.key("kept").open('[');
  for (const CheckedClock& clock : model.clocks) json.value(words::kept_clock(clock));
  json.close(']').close('}');
}

void put_usable(JsonWriter& json, const Model& model) {
  json.key("usable").open('{');
  json.key("act-listen").value(can_listen(model));
  json.key("act-stop").value(can_stop(model));
  json.key("act-demo").value(can_demo(model));
  json.key("act-open-file").value(can_open_file(model));
  json.key("act-forget-clocks").value(model.clocks_set_aside);
  json.key("act-update")
      .value(model.update_ready && (model.phase == Phase::idle || model.phase == Phase::failed || is_file(model)));
  json.close('}');
}

}  // namespace

std::string mirror_json(const Model& model) {
  JsonWriter json;
  json.open('{');
  json.key("phase").value(name_of(model.phase));
  put_readings(json, model);
  json.key("spoken").value(words::spoken(model));
  json.key("status_line").value(words::status_line(model));
  put_usable(json, model);
  put_controls(json, model);
  put_messages(json, model);
  put_advice(json, model);
  put_budget(json, model);
  put_clock(json, model);
  json.key("processing").value(model.capture ? words::processing(*model.capture) : "");
  json.key("progress");
  if (model.phase == Phase::measuring_file) {
    json.value(std::optional<double>(model.file.fraction));
  } else {
    json.raw("null");
  }
  json.key("file").value(model.file.name);
  json.key("update_ready").value(model.update_ready);
  json.close('}');
  return json.take();
}

}  // namespace four76
