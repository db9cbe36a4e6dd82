// What the page says while a machine is worked on: the coach.
#include <algorithm>
#include <optional>
#include <string>

#include "core/records/coach_text.hpp"
#include "web/words.hpp"

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

// Before it knows more than the hint, the hint is what there is to say.
Hint coach_says(const Model& model) {
  const four76::Advice advice = model.job.coach.advice();
  const bool learns = advice.kind == AdviceKind::wait || advice.kind == AdviceKind::try_a_little;
  if (trust(model) != Trust::good || !can_turn(model) || !(learns || advice.kind == AdviceKind::stop))
    return hint(model);
  const CoachWords said = coach_text(advice);
  return {advice.kind == AdviceKind::stop ? Way::leave : Way::wait, said.large, said.detail};
}

namespace {

std::string they_write(const std::string& note) { return note.empty() ? "" : " They write: \u201c" + note + "\u201d"; }

}  // namespace

std::string friend_asks(const CheckAsked& asked) {
  const std::string kind = asked.kind.empty() ? "your machine" : "your machine (" + asked.kind + ")";
  return "Somebody asks you by a link how fast " + kind + " runs: a " + hertz(asked.tone_hz) + " tape, good within " +
         percent(asked.tolerance_percent) + "." + they_write(asked.note);
}

std::string friend_found(const CheckDone& done) {
  const int decimals = std::max(1, supported_decimals(done.u95_percent, 3));
  return "Somebody's result came by a link: " + signed_fixed(done.speed_error_percent, decimals) + " " +
         plus_minus(done.u95_percent, decimals) + " %, " +
         (done.stage == VisitStage::as_left    ? "as left"
          : done.stage == VisitStage::as_found ? "as found"
                                               : "in between") +
         ", " + done.date + ", a " + hertz(done.tone_hz) + " tape." + they_write(done.note);
}

std::string friend_said(const Model& model) {
  if (model.friends.done) return friend_found(*model.friends.done);
  return model.friends.asked ? friend_asks(*model.friends.asked) : "";
}

std::string screw_text(const Model& model) {
  const auto faster = model.job.coach.clockwise_is_faster();
  if (!faster) return "";
  const auto size = model.job.coach.percent_per_turn();
  return std::string("Clockwise is ") + (*faster ? "faster" : "slower") +
         (size ? "; a whole turn would give " + fixed(*size, 1) + " %." : ".");
}

}  // namespace four76::words
