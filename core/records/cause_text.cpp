#include "core/records/cause_text.hpp"

#include <cmath>

#include "core/records/figure_text.hpp"

namespace four76 {
namespace {

std::string with_article(std::string_view noun) {
  const bool vowel = std::string_view("aeio").find(noun.front()) != std::string_view::npos;
  return (vowel ? "an " : "a ") + std::string(noun);
}

std::string described(Part part, const std::optional<Dimension>& implied) {
  const std::string noun = with_article(words_of(part));
  if (!implied) return noun;
  switch (implied->kind) {
    case DimensionKind::diameter_mm: return noun + " of " + rounded(implied->value, 2) + " mm";
    case DimensionKind::pack_diameter_mm: return noun + " with a pack of " + rounded(implied->value, 2) + " mm";
    case DimensionKind::rpm: return noun + " at " + rounded(implied->value, 2) + " turns a minute";
    case DimensionKind::length_mm: return noun + " of " + rounded(implied->value, 2) + " mm";
  }
  return noun;
}

std::string times_a_turn(int harmonic) {
  if (harmonic == 1) return "";
  return harmonic == 2 ? ", twice a turn" : ", " + std::to_string(harmonic) + " times a turn";
}

std::string made_by(const PartFit& fit) { return described(fit.part, fit.implied) + times_a_turn(fit.harmonic); }

std::string multiple_words(int harmonic) {
  if (harmonic == 2) return "its double";
  return harmonic == 3 ? "its triple" : std::to_string(harmonic) + " times it";
}

// "7.6 Hz and its double", "2.4 Hz, its double and its triple".
std::string rates_text(const Cause& cause) {
  const bool seen = !cause.peaks.empty() && cause.peaks[0].harmonic == 1;
  std::string text = seen ? "" : "Multiples of ";
  text += rounded(cause.rate_hz.value_or(0.0), 3) + " Hz";
  if (!seen) return text;
  for (std::size_t i = 1; i < cause.peaks.size(); ++i)
    text += (i + 1 == cause.peaks.size() ? " and " : ", ") + multiple_words(cause.peaks[i].harmonic);
  return text;
}

std::string share_text(const Cause& cause) {
  if (!cause.share_percent) return "";
  const std::string share = *cause.share_percent < 1.0 ? "under 1" : rounded(std::round(*cause.share_percent), 1);
  return "; " + share + " % of the wow and flutter";
}

std::string movement_text(const Cause& cause) {
  if (!cause.change_hz_per_minute) return "";
  return *cause.change_hz_per_minute > 0.0 ? " (rising as the tape plays)" : " (falling as the tape plays)";
}

std::string others_text(const Cause& cause) {
  const std::size_t first = cause.kind == CauseKind::unknown_rate ? 0 : 1;
  std::string text;
  for (std::size_t i = first; i < cause.fits.size(); ++i)
    text +=
        (i == first ? (cause.equal ? " As well it could be " : " It could also be ") : " or ") + made_by(cause.fits[i]);
  if (!text.empty()) text += '.';
  if (cause.needs_span_s)
    text += " Listen for " + duration_text(std::ceil(*cause.needs_span_s)) + " to tell these apart.";
  else if (cause.equal && cause.fits.size() > 1 && is_reel(cause.fits[0].part) && is_reel(cause.fits[1].part))
    text += " Enter where on the side the tape is to tell these apart.";
  return text;
}

std::string rate_evidence(const Cause& cause) {
  std::string text = rates_text(cause) + movement_text(cause) + ": ";
  text += cause.kind == CauseKind::unknown_rate ? "what no part of a usual size would make"
                                                : "what " + made_by(cause.fits[0]) + " would make";
  return text + share_text(cause) + '.' + others_text(cause);
}

std::string moved_text(const Cause& cause) {
  const double moved = cause.figure.value_or(0.0);
  return std::string("The speed ") + (moved < 0.0 ? "sank" : "rose") + " by " + rounded(std::abs(moved), 2) + " % in " +
         duration_text(cause.over_s.value_or(0.0)) + '.';
}

bool holds_hands_inside(const RepairSteps& steps) {
  for (const RepairStep step : steps)
    if (step != RepairStep::try_other_cassette && step != RepairStep::check_batteries &&
        step != RepairStep::let_it_warm_up && step != RepairStep::enter_sizes)
      return true;
  return false;
}

std::vector<std::string> listed(const RepairSteps& steps) {
  std::vector<std::string> lines;
  if (holds_hands_inside(steps)) lines.emplace_back(safety_text());
  for (const RepairStep step : steps) lines.emplace_back(step_text(step));
  return lines;
}

std::string_view title_words(CauseKind kind) noexcept {
  switch (kind) {
    case CauseKind::capstan: return "Capstan or its flywheel";
    case CauseKind::pinch_roller: return "Pinch roller";
    case CauseKind::supply_reel: return "Supply reel";
    case CauseKind::take_up_reel: return "Take-up reel";
    case CauseKind::belt: return "Belt";
    case CauseKind::motor: return "Motor or its pulley";
    case CauseKind::idler: return "Idler";
    case CauseKind::unknown_rate: return "A rhythm of no known part";
    case CauseKind::random_wow: return "Wow without a rhythm";
    case CauseKind::scrape: return "Scrape";
    case CauseKind::level_flutter: return "The level sways";
    case CauseKind::dropouts: return "Dropouts";
    case CauseKind::sag: return "The speed sinks";
    case CauseKind::warm_up: return "The speed rises";
    case CauseKind::trimmer: return "Speed setting";
  }
  return "";
}

}  // namespace

std::string_view words_of(Part part) noexcept {
  switch (part) {
    case Part::capstan: return "capstan";
    case Part::pinch_roller: return "pinch roller";
    case Part::supply_reel: return "supply reel";
    case Part::take_up_reel: return "take-up reel";
    case Part::belt: return "belt";
    case Part::motor: return "motor";
    case Part::idler: return "idler";
  }
  return "part";
}

std::string_view words_of(Sureness sureness) noexcept {
  switch (sureness) {
    case Sureness::likely: return "likely";
    case Sureness::possible: return "possible";
    case Sureness::hint: return "only a hint";
  }
  return "only a hint";
}

std::string cause_title(const Cause& cause) {
  if (!cause.equal || cause.fits.size() < 2) return std::string(title_words(cause.kind));
  const Part a = cause.fits[0].part, b = cause.fits[1].part;
  if (is_reel(a) && is_reel(b)) return "Supply or take-up reel";
  std::string first(words_of(a));
  first.front() = static_cast<char>(first.front() - 'a' + 'A');
  return first + " or " + std::string(words_of(b));
}

std::string cause_evidence(const Cause& cause) {
  const std::string figure = rounded(std::abs(cause.figure.value_or(0.0)), 2);
  switch (cause.kind) {
    case CauseKind::random_wow:
      return "No rate stands out of it" + share_text(cause) + ": something slips, drags or is dry.";
    case CauseKind::scrape:
      return figure + " % between 100 and 200 Hz" + share_text(cause) +
             ": the tape sticks and slips over dirt or a dry guide.";
    case CauseKind::level_flutter:
      return "The level sways by " + figure +
             " %, the speed aside: a dirty head, or tape that is not pressed to it evenly.";
    case CauseKind::dropouts:
      return "The tone falls away " + figure + " times a minute: a dirty head, or tape that is worn.";
    case CauseKind::sag: return moved_text(cause) + " Belt, motor or batteries do that.";
    case CauseKind::warm_up: return moved_text(cause) + " A machine that is still warming up does that.";
    case CauseKind::trimmer:
      return "The tape runs " + figure + " % " + (cause.figure.value_or(0.0) > 0.0 ? "fast" : "slow") +
             ". The trimmer comes last, when all else is well.";
    default: return rate_evidence(cause);
  }
}

std::vector<std::string> cause_steps(const Cause& cause) { return listed(cause.steps); }
std::vector<std::string> work_steps(const Causes& causes) { return listed(work_list(causes)); }

std::string_view step_text(RepairStep step) noexcept {
  switch (step) {
    case RepairStep::clean_tape_path:
      return "Clean capstan, pinch roller, heads and guides with alcohol, the rubber with soapy water; let them dry.";
    case RepairStep::clean_belt_path: return "Clean the grooves of pulley and flywheel where the belt runs.";
    case RepairStep::clean_idler: return "Clean the idler's rubber and the wheels that it touches.";
    case RepairStep::try_other_cassette: return "Try another cassette: if it goes away, it was that one.";
    case RepairStep::check_batteries: return "Put in fresh batteries, or try the mains adapter.";
    case RepairStep::let_it_warm_up: return "Let it play for ten minutes, then measure again.";
    case RepairStep::enter_sizes:
      return "Measure capstan, roller and belt, and enter them: then the rate can be named.";
    case RepairStep::replace_belt: return "Take the belt off: if it is stretched, set, sticky or cracked, replace it.";
    case RepairStep::inspect_roller:
      return "Turn the pinch roller by hand: replace it where it has a flat spot, a groove or hard, shiny rubber.";
    case RepairStep::free_roller:
      return "See that the pinch roller turns freely: one small drop of oil on its shaft, none on the rubber.";
    case RepairStep::check_capstan:
      return "Watch the turning capstan and flywheel: neither may wobble; replace a bent one.";
    case RepairStep::oil_bearings: return "Clean the capstan's bearing and give it one small drop of light oil.";
    case RepairStep::check_reel_drive:
      return "See that both reels turn evenly and free by hand, and that the clutch does not grip.";
    case RepairStep::check_back_tension: return "Look for a brake that drags and for uneven back tension.";
    case RepairStep::check_pressure_pad:
      return "Look at the felt pad in the cassette and at how squarely the head sits.";
    case RepairStep::check_idler: return "Replace an idler with a flat spot or hard rubber.";
    case RepairStep::check_motor:
      return "Run the motor without the belt: if it hunts or grinds, it wants service or replacing.";
    case RepairStep::turn_trimmer: return "Last of all, turn the speed trimmer, a little at a time.";
  }
  return "";
}

std::string_view safety_text() noexcept {
  return "Unplug the machine or take the batteries out before you reach in; follow its service manual.";
}

std::string_view thin_text(Thin thin) noexcept {
  switch (thin) {
    case Thin::not_measured: return "No cause is named while the speed itself cannot be trusted: see to that first.";
    case Thin::too_short: return "No cause is named yet: listen for ten seconds at least, better a minute.";
    case Thin::just_turned:
      return "The speed has just been changed: the causes are named again when it has stood for ten seconds.";
    case Thin::below_noise: return "Wow and flutter lie below the noise here: nothing can be said of their cause.";
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
