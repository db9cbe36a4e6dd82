#include "web/coach/words.hpp"

#include <algorithm>
#include <optional>
#include <string>

#include "core/phrase.hpp"
#include "core/records/coach_text.hpp"
#include "web/words/hint.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {
namespace {

// What the verdict on the speed says as well is left to it.
bool knows_more(AdviceKind kind) noexcept {
  switch (kind) {
    case AdviceKind::no_reading:
    case AdviceKind::wait:
    case AdviceKind::try_a_little:
    case AdviceKind::stop:
    case AdviceKind::stop_nearly: return false;
    default: return true;
  }
}

Way way_of(const four76::Advice& advice) noexcept {
  switch (advice.kind) {
    case AdviceKind::more:
    case AdviceKind::back:
    case AdviceKind::wrong_way: return advice.speed && advice.speed->percent > 0.0 ? Way::slower : Way::faster;
    case AdviceKind::moving: return Way::wait;
    default: return Way::distrust;
  }
}

}  // namespace

std::optional<Hint> coach_hint(const Model& model) {
  if (!can_turn(model)) return std::nullopt;
  const four76::Advice advice = model.job.coach.advice();
  if (!knows_more(advice.kind)) return std::nullopt;
  const CoachWords said = coach_text(advice);
  return Hint{way_of(advice), said.large, said.detail};
}

std::optional<Hint> coach_begins(const Model& model) {
  const four76::Advice advice = model.job.coach.advice();
  const bool learns = advice.kind == AdviceKind::wait || advice.kind == AdviceKind::try_a_little;
  if (trust(model) != Trust::good || !can_turn(model) || !(learns || advice.kind == AdviceKind::stop))
    return std::nullopt;
  const CoachWords said = coach_text(advice);
  const Way to_turn = advice.speed && advice.speed->percent > 0.0 ? Way::slower : Way::faster;
  const Way way = advice.kind == AdviceKind::stop ? Way::leave : advice.kind == AdviceKind::wait ? Way::wait : to_turn;
  return Hint{way, said.large, said.detail};
}

// Before it knows more than the hint, the hint is what there is to say.
Hint coach_says(const Model& model) { return coach_begins(model).value_or(hint(model)); }

std::string screw_text(const Model& model) {
  const auto faster = model.job.coach.clockwise_is_faster();
  if (!faster) return "";
  const auto size = model.job.coach.percent_per_turn();
  if (!size) return *faster ? say("Clockwise is faster.") : say("Clockwise is slower.");
  return say(*faster ? Phrase("Clockwise is faster; a whole turn would give {0}.")
                     : Phrase("Clockwise is slower; a whole turn would give {0}."),
             fixed(*size, 1) + " %");
}

}  // namespace four76::words
