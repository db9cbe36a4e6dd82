#include "web/coach/mirror.hpp"

#include "core/phrase.hpp"
#include "core/records/coach_text.hpp"
#include "web/coach/words.hpp"

namespace four76 {
namespace {

constexpr std::string_view kWays[] = {"none", "slower", "faster", "leave", "wait", "distrust"};

}  // namespace

// The course only while somebody looks at it: it is told several times a second.
void put_watch(JsonWriter& json, const Model& model) {
  const SpeedWatch& watch = model.job.watch;
  const words::WatchWords said = words::watch_says(model);
  json.key("watch").open('{');
  json.key("seconds").value(std::optional(watch.passed_s()));
  json.key("shape").value(name_of(watch.judge().shape));
  json.key("large").value(said.large);
  json.key("detail").value(said.detail);
  json.key("gaps").open('[');
  for (const std::string& gap : said.gaps) json.value(gap);
  json.close(']').key("course").open('[');
  if (model.job.watch_shown)
    for (const DriftBlock& block : watch.course())
      json.open('[').value(std::optional(block.time_s)).value(std::optional(block.percent)).close(']');
  json.close(']').close('}');
}

void put_coach(JsonWriter& json, const Model& model) {
  const Coach& coach = model.job.coach;
  const Advice advice = coach.advice();
  const words::Hint said = words::coach_says(model);
  json.key("coach").open('{');
  json.key("kind").value(can_turn(model) ? name_of(advice.kind) : name_of(AdviceKind::no_reading));
  json.key("way").value(kWays[static_cast<int>(said.way)]);
  json.key("large").value(said.text);
  json.key("detail").value(said.detail);
  json.key("speed_percent").value(advice.speed ? std::optional(advice.speed->percent) : std::nullopt);
  json.key("last_change_percent").value(advice.last_change_percent);
  json.key("times_the_last").value(advice.times_the_last);
  json.key("other_way").value(advice.other_way);
  json.key("screw").value(words::screw_text(model));
  const auto faster = coach.clockwise_is_faster();
  json.key("clockwise").value(!faster ? "" : *faster ? "faster" : "slower");
  json.key("turns").open('[');
  for (const Turn& turn : coach.turns())
    json.value(turn.stayed ? signed_percent_text(turn.change_percent())
                           : say("{0}, did not stay", signed_percent_text(turn.peak_percent)));
  json.close(']').close('}');
}

}  // namespace four76
