#include "web/friend/words.hpp"

#include <algorithm>

#include "core/phrase.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {
namespace {

std::string they_write(const std::string& note) {
  return note.empty() ? "" : ' ' + say("They write: \u201c{0}\u201d", note);
}

}  // namespace

std::string friend_asks(const CheckAsked& asked) {
  const Phrase text =
      asked.kind.empty()
          ? Phrase("Somebody asks you by a link how fast your machine runs: a {0} tape, good within {1}.")
          : Phrase("Somebody asks you by a link how fast your machine ({2}) runs: a {0} tape, good within {1}.");
  return say(text, hertz(asked.tone_hz), percent(asked.tolerance_percent), asked.kind) + they_write(asked.note);
}

std::string friend_found(const CheckDone& done) {
  const int decimals = std::max(1, supported_decimals(done.u95_percent, 3));
  const std::string_view stage = done.stage == VisitStage::as_left    ? tr("as left")
                                 : done.stage == VisitStage::as_found ? tr("as found")
                                                                      : tr("in between");
  return say("Somebody's result came by a link: {0}, {1}, {2}, a {3} tape.",
             signed_fixed(done.speed_error_percent, decimals) + " " + plus_minus(done.u95_percent, decimals) + " %",
             stage, done.date, hertz(done.tone_hz)) +
         they_write(done.note);
}

std::string friend_said(const Model& model) {
  if (model.friends.done) return friend_found(*model.friends.done);
  return model.friends.asked ? friend_asks(*model.friends.asked) : "";
}

}  // namespace four76::words
