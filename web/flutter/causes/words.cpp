#include "web/flutter/causes/words.hpp"

#include <array>
#include <cmath>

#include "core/phrase.hpp"
#include "core/records/cause_text.hpp"
#include "core/records/figure_text.hpp"
#include "core/records/verdict_text.hpp"
#include "web/flutter/words.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {
namespace {

// Where the language has one already, it stays.
std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

std::string share_of(const Cause& cause) {
  const std::string sure(words_of(cause.sureness));
  if (!cause.share_percent) return sure;
  if (*cause.share_percent < 1.0) return say("{0}, under 1 % of it", sure);
  return say("{0}, {1} % of it", sure, fixed(*cause.share_percent, 0));
}

}  // namespace

std::string cause_line(const Cause& cause) { return cause_title(cause) + " (" + share_of(cause) + ")"; }

FlutterVerdict flutter_verdict(const Model& model) {
  if (!model.causes.judgement) return {"", flutter_state(model), false};
  const auto& [causes, verdicts] = *model.causes.judgement;
  FlutterVerdict said;
  if (!verdicts.empty()) {
    said.headline = verdict_text(verdicts[0]);
    said.warns = forbids_trimming(verdicts[0].rule);
  }
  for (const Cause& cause : causes.list) {
    if (cause.kind == CauseKind::trimmer) continue;  // of the mean, not of what happens around it
    if (!said.detail.empty()) said.detail += '\n';
    said.detail += cause_line(cause);
  }
  if (said.headline.empty()) said.headline = flutter_judgement(model);
  if (said.headline.empty() && said.detail.empty()) said.headline = no_causes(model);
  return said;
}

std::string flutter_judgement(const Model& model) {
  const FlutterReading* const all = shown_flutter(model);
  if (!all || !all->weighted_two_sigma) return "";
  const FlutterFigure& weighted = *all->weighted_two_sigma;
  std::string text;
  if (const auto met = strictest_met(weighted)) {
    text = judgement_text(*met, Judgement::meets);
  } else {
    text = judgement_text(Standard::portable_usual, judge_weighted(Standard::portable_usual, weighted));
  }
  return capital(text) + '.';
}

std::vector<std::string> standards_held_against(const Model& model) {
  std::vector<std::string> lines;
  const FlutterReading* const all = shown_flutter(model);
  if (!all || !all->weighted_two_sigma) return lines;
  for (const StandardLimits& limits : kStandards) {
    lines.push_back(
        capital(judgement_text(limits.standard, judge_weighted(limits.standard, *all->weighted_two_sigma))));
  }
  return lines;
}

std::string no_causes(const Model& model) {
  if (!model.causes.judgement) return say("Nothing is being measured at the moment.");
  const Causes& causes = model.causes.judgement->causes;
  if (!causes.list.empty()) return "";
  return causes.thin ? std::string(thin_text(*causes.thin)) : say("No cause stands out.");
}

std::string_view why_name() noexcept { return tr("Why, and what to do"); }

std::string peak_part(const Model& model, std::size_t peak) {
  if (!model.causes.judgement) return "";
  const Cause* const cause = cause_of_peak(model.causes.judgement->causes, peak);
  if (!cause || cause->sureness == Sureness::hint || cause->fits.empty()) return "";
  std::string name =
      cause->equal && is_reel(cause->fits[0].part) ? say("reel") : std::string(words_of(cause->fits[0].part));
  for (const CausePeak& mine : cause->peaks)
    if (mine.peak == peak && mine.harmonic > 1) name += " x" + std::to_string(mine.harmonic);
  return name;
}

std::string peak_label(const Model& model, std::size_t peak, bool roomy) {
  const ChannelSnapshot* const channel = shown_channel(model);
  if (!channel || peak >= channel->flutter_picture.peaks.size()) return "";
  const FlutterPeak& told = channel->flutter_picture.peaks[peak];
  const std::string part = told.foreign ? say("not the tape") : peak_part(model, peak);
  const std::string name = peak_name(told);
  const std::string moving = told.moving && roomy ? ", " + say("moving") : "";  // else the mark alone says so
  if (part.empty()) return name + moving;
  return roomy ? name + ", " + part + moving : rate_name(told) + " " + part;
}

std::string rate_line(const Model& model, std::size_t peak) {
  const ChannelSnapshot* const channel = shown_channel(model);
  if (!channel || peak >= channel->flutter_picture.peaks.size()) return "";
  const FlutterPeak& told = channel->flutter_picture.peaks[peak];
  const Cause* const cause = model.causes.judgement ? cause_of_peak(model.causes.judgement->causes, peak) : nullptr;
  if (cause && cause->rate_hz && !told.foreign)
    for (const CausePeak& mine : cause->peaks)
      if (mine.peak == peak && mine.harmonic > 1)
        return say("{0} is {1} times {2}: of the same part.", rounded(told.rate_hz, 3) + " Hz",
                   std::to_string(mine.harmonic), rounded(*cause->rate_hz, 3) + " Hz");
  return would_be(model, told);
}

std::string would_be(const Model& model, const FlutterPeak& peak) {
  constexpr std::array<Part, 5> kParts{Part::capstan, Part::pinch_roller, Part::take_up_reel, Part::belt, Part::motor};
  const Reading* const reading = shown_reading(model);
  const double error = reading ? reading->speed_error_percent.value_or(0.0) : 0.0;
  std::string all;
  for (const Part part : kParts) {
    const auto implied = implied_by(part, peak.rate_hz, model.settings.known, error);
    if (!implied || !could_be(part, *implied)) continue;
    const auto text = implied_text(part, peak.rate_hz, model.settings.known, error);
    if (!text) continue;
    if (!all.empty()) all += ", ";
    all += *text;
  }
  std::string rate = rounded(peak.rate_hz, 3) + " Hz";
  if (peak.moving) rate = say("{0}, moving by {1} a minute,", rate, signed_fixed(peak.change_hz_per_minute, 3) + " Hz");
  if (peak.foreign) return say("{0}: a line beside the tone, hum perhaps, and no part of the machine.", rate);
  return all.empty() ? say("{0}: no part of a size that machines have.", rate) : say("{0} would be {1}.", rate, all);
}

}  // namespace four76::words
