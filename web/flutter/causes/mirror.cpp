#include "web/flutter/causes/mirror.hpp"

#include <algorithm>

#include "core/phrase.hpp"
#include "core/records/cause_text.hpp"
#include "core/records/parts_text.hpp"
#include "core/records/verdict_text.hpp"
#include "web/flutter/causes/words.hpp"

namespace four76 {
namespace {

template <class List>
void put_strings(JsonWriter& json, std::string_view key, const List& lines) {
  json.key(key).open('[');
  for (const auto& text : lines) json.value(std::string_view(text));
  json.close(']');
}

void put_verdict(JsonWriter& json, const Verdict& verdict) {
  json.open('{');
  json.key("rule").value(name_of(verdict.rule));
  json.key("text").value(verdict_text(verdict));
  json.key("rests_on").value(verdict_rule_text(verdict));
  json.key("warns").value(forbids_trimming(verdict.rule));
  json.close('}');
}

void put_cause(JsonWriter& json, const Cause& cause) {
  json.open('{');
  json.key("cause").value(name_of(cause.kind));
  json.key("fault").value(cause.fault);
  json.key("title").value(words::cause_line(cause));
  json.key("evidence").value(cause_evidence(cause));
  json.close('}');
}

std::vector<std::string> rates_in_reverse(const Model& model) {
  constexpr std::size_t kMost = 6;
  std::vector<std::string> lines;
  const ChannelSnapshot* const channel = shown_channel(model);
  if (!channel) return lines;
  for (std::size_t i = 0; i < std::min(channel->flutter_picture.peaks.size(), kMost); ++i)
    lines.push_back(words::rate_line(model, i));
  return lines;
}

}  // namespace

void put_cause_fields(JsonWriter& json, const Model& model) {
  const FlutterJudgement judgement = model.causes.judgement.value_or(FlutterJudgement{});
  json.key("verdicts").open('[');
  for (const Verdict& verdict : judgement.verdicts) json.value(name_of(verdict.rule));
  json.close(']').key("causes").open('[');
  for (const Cause& cause : judgement.causes.list) json.value(name_of(cause.kind));
  json.close(']');
}

void put_cause_words(JsonWriter& json, const Model& model) {
  const FlutterJudgement judgement = model.causes.judgement.value_or(FlutterJudgement{});
  std::string verdicts, causes;
  for (const Verdict& verdict : judgement.verdicts) verdicts.append(verdict_text(verdict)).append(" ");
  for (const Cause& cause : judgement.causes.list)
    causes.append(words::cause_line(cause)).append(": ").append(cause_evidence(cause)).append(" ");
  json.key("verdicts").value(verdicts.empty() ? say("none##verdicts") : verdicts);
  json.key("causes").value(causes.empty() ? say("none##causes") : causes);
}

void put_causes(JsonWriter& json, const Model& model) {
  const FlutterJudgement judgement = model.causes.judgement.value_or(FlutterJudgement{});
  const Causes& causes = judgement.causes;
  json.key("causes_panel").open('{');
  json.key("verdicts").open('[');
  for (const Verdict& verdict : judgement.verdicts) put_verdict(json, verdict);
  json.close(']').key("causes").open('[');
  for (const Cause& cause : causes.list) put_cause(json, cause);
  json.close(']');
  json.key("nothing").value(words::no_causes(model));
  put_strings(json, "work", work_steps(causes));
  put_strings(json, "standards", words::standards_held_against(model));
  put_strings(json, "rates", rates_in_reverse(model));
  json.key("parts").value(text_of(model.settings.known));
  json.key("parts_fault").value(model.causes.parts_fault);
  json.key("parts_entered").value(std::optional<double>(model.causes.parts_entered));
  json.close('}');
}

}  // namespace four76
