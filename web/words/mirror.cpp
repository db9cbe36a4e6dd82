#include "web/words/mirror.hpp"

#include <string_view>

#include "core/phrase.hpp"
#include "core/records/safety_text.hpp"
#include "web/mirror.hpp"
#include "web/song/mirror.hpp"
#include "web/song/words.hpp"
#include "web/words/advice.hpp"
#include "web/words/hint.hpp"
#include "web/words/platform.hpp"

namespace four76 {

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
  put_song_advice(json, model);
  json.close(']');
  json.key("doubt").value(model.capture ? words::processing_doubt(*model.capture) : "");
}

std::string words_json(const Model& model) {
  Model listening;
  listening.platform = model.platform;
  JsonWriter json;
  json.open('{').key("acts").open('{');
  for (const std::string_view act :
       {"act-song", "act-song-close", "act-song-reference", "act-song-record", "act-song-done", "act-song-forget",
        "act-song-listen", "act-song-file", "act-song-keep"})
    json.key(act).value(words::act_name(act));
  json.close('}').key("caution").value(safety_text()).key("song_truth").open('[');
  for (const std::string_view text : words::song_truth()) json.value(text);
  json.close(']').key("reasons").open('[');
  for (std::size_t i = 0; i < kReasonCount; ++i) {
    const auto reason = static_cast<Reason>(i);
    const words::Advice advice = words::advice(reason, listening);
    json.open('{');
    json.key("reason").value(name_of(reason));
    // These words are set once; the tone may be chosen anew.
    json.key("what").value(reason == Reason::no_tone ? say("No tone near the chosen one.") : advice.what);
    json.key("todo").value(advice.todo);
    json.close('}');
  }
  json.close(']').key("platforms").open('[');
  for (const Platform platform : kPlatforms) {
    const words::PlatformSteps steps = words::voice_steps(platform);
    json.open('{');
    json.key("name").value(steps.name);
    json.key("steps").value(steps.steps);
    json.key("here").value(platform == model.platform);
    json.close('}');
  }
  json.close(']').close('}');
  return json.take();
}

}  // namespace four76
