#include "web/tapes/words.hpp"

#include "core/phrase.hpp"
#include "core/records/tapes_text.hpp"
#include "web/tapes/card_visit.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {
namespace {

void add_sentence(std::string& text, const std::string& sentence) {
  if (!text.empty()) text += ' ';
  text += sentence;
}

}  // namespace

std::string says(const SpeedAnswer& answer) {
  std::string text;
  for (const SpeedCandidate& each : answer.candidates) {
    const TapeFigure figure = tape_figure(each.speed_error_percent, each.u95_percent);
    if (answer.status == TapeStatus::measured) return figure.number + " " + figure.plus_minus + " %";
    text = text.empty() ? figure.number : say("{0} or {1}", text, figure.number);
  }
  if (!text.empty()) return text + " %";
  return answer.reasons.empty() ? "" : tape_advice(answer.reasons.front()).what;
}

std::string basis(std::span<const TapeFindings> tapes, const TuningPrior& tuning, TapeStatus status) {
  std::string text;
  if (carries(tapes, EvidenceKind::concert_pitch)) {
    if (!tuning.concert_a_hz)
      add_sentence(text, say("Without a known tuning the notes tell how the speed moves, not what it is."));
    else if (status != TapeStatus::none)
      add_sentence(text, tapes.size() == 1
                             ? say("As most music, this tape seems tuned to A = {0}. If it was not, the speed is off "
                                   "by as much.",
                                   hertz(*tuning.concert_a_hz))
                             : say("As most music, these tapes seem tuned to A = {0}. If they were not, the speed is "
                                   "off by as much.",
                                   hertz(*tuning.concert_a_hz)));
  }
  if (carries(tapes, EvidenceKind::line_scan))
    add_sentence(text, say("A television seems to have whistled where it was recorded."));
  if (carries(tapes, EvidenceKind::mains_hum))
    add_sentence(text, say("Mains hum seems to be recorded with it; a bass may look the same."));
  return text;
}

std::string tapes_to_go(const SpeedAnswer& answer, double tolerance_percent) {
  if (!answer.tapes_to_go) return "";
  const std::string within = percent(tolerance_percent);
  if (*answer.tapes_to_go == 0) return say("Known to ±{0}: good enough to turn the screw by.", within);
  if (*answer.tapes_to_go == 1) return say("One more tape like this brings it to ±{0}.", within);
  return say("{0} more tapes like this bring it to ±{1}.", std::to_string(*answer.tapes_to_go), within);
}

Advice tape_advice(TapeReason reason) {
  switch (reason) {
    case TapeReason::too_quiet: return {say("Almost no sound."), say("Play the tape and bring the microphone near.")};
    case TapeReason::too_short: return {say("Not enough yet."), say("Let it play for half a minute.")};
    case TapeReason::no_pitch:
      return {say("No steady notes."), say("Speech, noise and drums alone tell no speed: play music with held notes.")};
    case TapeReason::ambiguous:
      return {say("Other speeds fit as well, mostly a semitone apart."),
              say("Say below how it sounds, or play another tape.")};
    case TapeReason::tapes_disagree:
      return {say("The tapes do not agree."), say("Remove the one that stands apart, or play more.")};
  }
  return {"", ""};
}

std::string lately(const TapeFindings& findings) {
  if (!findings.lately_percent || !findings.lately_u95_percent) return "";
  const TapeFigure figure = tape_figure(*findings.lately_percent, *findings.lately_u95_percent);
  return figure.number + " " + figure.plus_minus + " %";
}

std::string wow(const TapeFindings& findings) {
  if (!findings.relative_wow_rms_percent) return "";
  const std::string rms = fixed(*findings.relative_wow_rms_percent, 2) + " %";
  const bool known = findings.relative_wow_u95_percent.has_value();
  if (!findings.wow_rate_hz) return known ? say("about {0} RMS", rms) : say("at least {0} RMS", rms);
  const std::string rate = fixed(*findings.wow_rate_hz, 2) + " Hz";
  return known ? say("about {0} RMS, strongest at {1}", rms, rate)
               : say("at least {0} RMS, strongest at {1}", rms, rate);
}

}  // namespace four76::words
