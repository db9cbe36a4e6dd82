#include "web/friend/update.hpp"

#include <variant>

#include "web/machine/update.hpp"
#include "web/run/update.hpp"
#include "web/song/update.hpp"
#include "web/tone/update.hpp"

namespace four76 {
namespace {

Effects take(Model& model, const LinkSettings& settings) {
  model.link_note = settings.note.value_or("");
  Effects effects;
  if (settings.tone_hz) append(effects, choose_tone(model, *settings.tone_hz));
  if (settings.tape_tolerance_percent) append(effects, choose_tape_tolerance(model, *settings.tape_tolerance_percent));
  if (settings.tolerance_percent) append(effects, choose_tolerance(model, *settings.tolerance_percent));
  return effects;
}

// The bench is set up for it: nothing is left to decide.
Effects take(Model& model, const CheckAsked& asked) {
  Effects effects = in_song(model) ? close_song_bench(model) : Effects{};
  append(effects, choose_tone(model, asked.tone_hz));
  append(effects, choose_tape_tolerance(model, asked.tape_tolerance_percent));
  append(effects, choose_tolerance(model, asked.tolerance_percent));
  model.friends.asked = asked;
  model.friends.answered = false;
  return effects;
}

Effects take(Model& model, const CheckDone& done) {
  model.friends.done = done;
  return {};
}

}  // namespace

Effects open_link(Model& model, std::string_view fragment) {
  const Result<AnyLink, LinkFault> link = parse_any_link(fragment);
  model.link_fault = link ? std::string_view{} : message_of(link.fault());
  if (!link) return {};
  model.link_note.clear();
  return std::visit([&](const auto& came) { return take(model, came); }, *link);
}

Effects answer_friend(Model& model) {
  if (!can_answer(model)) return {};
  model.machine.visit_said.clear();
  Effects effects = model.phase == Phase::listening ? Effects{} : listen(model);  // the demo is nobody's machine
  model.friends.answering = true;
  model.friends.answered = false;
  return effects;
}

// After each new snapshot: the run begins by itself, as soon as there is something to measure.
Effects advance_answer(Model& model) {
  const bool ready = model.friends.answering && !model.machine.run && trust(model) == Trust::good;
  return ready && can_measure(model) ? measure_visit(model, VisitStage::as_found) : Effects{};
}

// Of a visit that has just been kept.
Effects conclude_answer(Model& model) {
  if (!model.friends.answering) return {};
  model.friends.answering = false;
  model.friends.answered = true;
  return {effect::ShowHelp{"friend"}};
}

Effects link_filed(Model& model) {
  model.friends.done.reset();
  return {};
}

}  // namespace four76
