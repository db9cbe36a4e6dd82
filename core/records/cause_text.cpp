#include "core/records/cause_text.hpp"

#include <cmath>

#include "core/phrase.hpp"
#include "core/records/figure_text.hpp"
#include "core/records/safety_text.hpp"

namespace four76 {
namespace {

std::string_view with_article(Part part) noexcept {
  switch (part) {
    case Part::capstan: return tr("a capstan");
    case Part::pinch_roller: return tr("a pinch roller");
    case Part::supply_reel: return tr("a supply reel");
    case Part::take_up_reel: return tr("a take-up reel");
    case Part::belt: return tr("a belt");
    case Part::motor: return tr("a motor");
    case Part::idler: return tr("an idler");
  }
  return tr("a part");
}

std::string described(Part part, const std::optional<Dimension>& implied) {
  const std::string_view noun = with_article(part);
  if (!implied) return std::string(noun);
  const std::string value = rounded(implied->value, 2);
  switch (implied->kind) {
    case DimensionKind::diameter_mm:
    case DimensionKind::length_mm: return say("{0} of {1} mm", noun, value);
    case DimensionKind::pack_diameter_mm: return say("{0} with a pack of {1} mm", noun, value);
    case DimensionKind::rpm: return say("{0} at {1} turns a minute", noun, value);
  }
  return std::string(noun);
}

std::string made_by(const PartFit& fit) {
  const std::string part = described(fit.part, fit.implied);
  if (fit.harmonic == 1) return part;
  if (fit.harmonic == 2) return say("{0}, twice a turn", part);
  return say("{0}, {1} times a turn", part, std::to_string(fit.harmonic));
}

std::string multiple_words(int harmonic) {
  if (harmonic == 2) return say("its double");
  return harmonic == 3 ? say("its triple") : say("{0} times it", std::to_string(harmonic));
}

// "7.6 Hz and its double", "2.4 Hz, its double and its triple".
std::string rates_text(const Cause& cause) {
  const std::string rate = rounded(cause.rate_hz.value_or(0.0), 3);
  if (cause.peaks.empty() || cause.peaks[0].harmonic != 1) return say("Multiples of {0} Hz", rate);
  std::string text = rate + " Hz";
  for (std::size_t i = 1; i < cause.peaks.size(); ++i) {
    const std::string multiple = multiple_words(cause.peaks[i].harmonic);
    if (i + 1 == cause.peaks.size()) return say("{0} and {1}", text, multiple);
    text += ", " + multiple;
  }
  return text;
}

std::string share_text(double percent) {
  if (percent < 1.0) return say("under 1 % of the wow and flutter");
  return say("{0} % of the wow and flutter", rounded(std::round(percent), 1));
}

std::string moving_rates_text(const Cause& cause) {
  const std::string rates = rates_text(cause);
  if (!cause.change_hz_per_minute) return rates;
  return say(*cause.change_hz_per_minute > 0.0 ? Phrase("{0} (rising as the tape plays)")
                                               : Phrase("{0} (falling as the tape plays)"),
             rates);
}

std::string others_text(const Cause& cause) {
  const std::size_t first = cause.kind == CauseKind::unknown_rate ? 0 : 1;
  std::string others, text;
  for (std::size_t i = first; i < cause.fits.size(); ++i)
    others = i == first ? made_by(cause.fits[i]) : say("{0} or {1}", others, made_by(cause.fits[i]));
  if (!others.empty())
    text = ' ' + say(cause.equal ? Phrase("As well it could be {0}.") : Phrase("It could also be {0}."), others);
  if (cause.needs_span_s)
    text += ' ' + say("Listen for {0} to tell these apart.", duration_text(std::ceil(*cause.needs_span_s)));
  else if (cause.equal && cause.fits.size() > 1 && is_reel(cause.fits[0].part) && is_reel(cause.fits[1].part))
    text += ' ' + say("Enter where on the side the tape is to tell these apart.");
  return text;
}

std::string rate_evidence(const Cause& cause) {
  const std::string rates = moving_rates_text(cause);
  std::string text = cause.kind == CauseKind::unknown_rate
                         ? say("{0}: what no part of a usual size would make", rates)
                         : say("{0}: what {1} would make", rates, made_by(cause.fits[0]));
  if (cause.share_percent) text += "; " + share_text(*cause.share_percent);
  return text + '.' + others_text(cause);
}

std::string random_evidence(const Cause& cause) {
  if (!cause.share_percent) return say("No rate stands out of it: something slips, drags or is dry.");
  return say("No rate stands out of it; {0}: something slips, drags or is dry.", share_text(*cause.share_percent));
}

std::string scrape_evidence(const Cause& cause, const std::string& figure) {
  if (!cause.share_percent)
    return say("{0} % between 100 and 200 Hz: the tape sticks and slips over dirt or a dry guide.", figure);
  return say("{0} % between 100 and 200 Hz; {1}: the tape sticks and slips over dirt or a dry guide.", figure,
             share_text(*cause.share_percent));
}

std::string moved_text(const Cause& cause) {
  const double moved = cause.figure.value_or(0.0);
  return say(moved < 0.0 ? Phrase("The speed sank by {0} % in {1}.") : Phrase("The speed rose by {0} % in {1}."),
             rounded(std::abs(moved), 2), duration_text(cause.over_s.value_or(0.0)));
}

// Each with the state of the machine in which it is done.
std::vector<std::string> listed(const RepairSteps& steps) {
  std::vector<std::string> lines;
  for (const RepairStep step : steps) {
    std::string line(words_of(state_for(step)));
    lines.push_back(line.append(": ").append(step_text(step)));
  }
  return lines;
}

std::string_view title_words(CauseKind kind) noexcept {
  switch (kind) {
    case CauseKind::capstan: return tr("Capstan or its flywheel");
    case CauseKind::pinch_roller: return tr("Pinch roller");
    case CauseKind::supply_reel: return tr("Supply reel");
    case CauseKind::take_up_reel: return tr("Take-up reel");
    case CauseKind::belt: return tr("Belt");
    case CauseKind::motor: return tr("Motor or its pulley");
    case CauseKind::idler: return tr("Idler");
    case CauseKind::unknown_rate: return tr("A rhythm of no known part");
    case CauseKind::random_wow: return tr("Wow without a rhythm");
    case CauseKind::scrape: return tr("Scrape");
    case CauseKind::level_flutter: return tr("The level sways");
    case CauseKind::dropouts: return tr("Dropouts");
    case CauseKind::sag: return tr("The speed sinks");
    case CauseKind::warm_up: return tr("The speed rises");
    case CauseKind::trimmer: return tr("Speed setting");
  }
  return "";
}

// At the head of a title.
std::string_view first_words(Part part) noexcept {
  switch (part) {
    case Part::capstan: return tr("Capstan");
    case Part::pinch_roller: return tr("Pinch roller");
    case Part::supply_reel: return tr("Supply reel");
    case Part::take_up_reel: return tr("Take-up reel");
    case Part::belt: return tr("Belt");
    case Part::motor: return tr("Motor");
    case Part::idler: return tr("Idler");
  }
  return tr("Part");
}

}  // namespace

std::string_view words_of(Part part) noexcept {
  switch (part) {
    case Part::capstan: return tr("capstan");
    case Part::pinch_roller: return tr("pinch roller");
    case Part::supply_reel: return tr("supply reel");
    case Part::take_up_reel: return tr("take-up reel");
    case Part::belt: return tr("belt");
    case Part::motor: return tr("motor");
    case Part::idler: return tr("idler");
  }
  return tr("part");
}

std::string_view words_of(Sureness sureness) noexcept {
  switch (sureness) {
    case Sureness::likely: return tr("likely");
    case Sureness::possible: return tr("possible");
    case Sureness::hint: return tr("only a hint");
  }
  return tr("only a hint");
}

std::string cause_title(const Cause& cause) {
  if (!cause.equal || cause.fits.size() < 2) return std::string(title_words(cause.kind));
  const Part a = cause.fits[0].part, b = cause.fits[1].part;
  if (is_reel(a) && is_reel(b)) return say("Supply or take-up reel");
  return say("{0} or {1}", first_words(a), words_of(b));
}

std::string cause_evidence(const Cause& cause) {
  const std::string figure = rounded(std::abs(cause.figure.value_or(0.0)), 2);
  switch (cause.kind) {
    case CauseKind::random_wow: return random_evidence(cause);
    case CauseKind::scrape: return scrape_evidence(cause, figure);
    case CauseKind::level_flutter:
      return say("The level sways by {0} %, the speed aside: a dirty head, or tape that is not pressed to it evenly.",
                 figure);
    case CauseKind::dropouts:
      return say("The tone falls away {0} times a minute: a dirty head, or tape that is worn.", figure);
    case CauseKind::sag: return moved_text(cause) + ' ' + say("Belt, motor or batteries do that.");
    case CauseKind::warm_up: return moved_text(cause) + ' ' + say("A machine that is still warming up does that.");
    case CauseKind::trimmer:
      return say(cause.figure.value_or(0.0) > 0.0 ? Phrase("The tape runs {0} % fast.")
                                                  : Phrase("The tape runs {0} % slow."),
                 figure) +
             ' ' + say("The trimmer comes last, when all else is well.");
    default: return rate_evidence(cause);
  }
}

std::vector<std::string> cause_steps(const Cause& cause) { return listed(cause.steps); }
std::vector<std::string> work_steps(const Causes& causes) { return listed(work_list(causes)); }

std::string_view step_text(RepairStep step) noexcept {
  switch (step) {
    case RepairStep::clean_tape_path:
      return tr("Clean capstan, heads and guides with alcohol, the pinch roller with soapy water; let them dry.");
    case RepairStep::clean_belt_path: return tr("Clean the grooves of pulley and flywheel where the belt runs.");
    case RepairStep::clean_idler: return tr("Clean the idler's rubber and the wheels that it touches.");
    case RepairStep::try_other_cassette:
      return tr("Try another cassette: if it goes away, the first one was at fault.");
    case RepairStep::check_batteries: return tr("Put in fresh batteries, if it runs on them.");
    case RepairStep::let_it_warm_up: return tr("Let it play for ten minutes, then measure again.");
    case RepairStep::enter_sizes:
      return tr("Measure capstan, roller and belt, and enter them: then the rate can be named.");
    case RepairStep::replace_belt:
      return tr("Take the belt off: if it is stretched, set, sticky or cracked, replace it.");
    case RepairStep::inspect_roller:
      return tr("Turn the pinch roller by hand: replace it where it has a flat spot, a groove or hard, shiny rubber.");
    case RepairStep::free_roller:
      return tr("See that the pinch roller turns freely: one small drop of oil on its shaft, none on the rubber.");
    case RepairStep::check_capstan: return tr("Watch capstan and flywheel turn: what wobbles is to be replaced.");
    case RepairStep::oil_bearings: return tr("Clean the capstan's bearing and give it one small drop of light oil.");
    case RepairStep::check_reel_drive:
      return tr("See that both reels turn evenly and freely by hand, and that the clutch does not grip.");
    case RepairStep::check_back_tension: return tr("Look for a brake that drags and for uneven back tension.");
    case RepairStep::check_pressure_pad:
      return tr("Look at the felt pad in the cassette and at how squarely the head sits.");
    case RepairStep::check_idler: return tr("Replace an idler with a flat spot or hard rubber.");
    case RepairStep::check_motor:
      return tr("Listen to the motor without its belt: one that hunts or grinds is to be mended or replaced.");
    case RepairStep::turn_trimmer: return tr("Last of all, turn the speed trimmer, a little at a time.");
  }
  return "";
}

std::string_view thin_text(Thin thin) noexcept {
  switch (thin) {
    case Thin::not_measured: return tr("No cause yet: the speed itself cannot be trusted. See to that first.");
    case Thin::too_short: return tr("No cause yet: listen for at least ten seconds, better a minute.");
    case Thin::just_turned:
      return tr("The speed has just been changed: the causes are named again when it has stood for ten seconds.");
    case Thin::below_noise:
      return tr("Wow and flutter lie below the noise here: nothing can be said about their cause.");
  }
  return "";
}

std::optional<std::string> implied_text(Part part, double rate_hz, const KnownParts& known,
                                        double speed_error_percent) {
  const std::optional<Dimension> implied = implied_by(part, rate_hz, known, speed_error_percent);
  if (!implied) return std::nullopt;
  return described(part, implied);
}

}  // namespace four76
