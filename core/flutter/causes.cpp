#include "core/flutter/causes.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/flutter/weighting.hpp"
#include "core/signal/sort_few.hpp"

namespace four76 {
namespace {

constexpr double kLeastShare = 0.03, kFaultShare = 0.1, kRandomShare = 0.5;
constexpr double kLikely = 0.8, kPossible = 0.45;
constexpr double kEqual = 0.6;  // of the likeliest: fits as well
constexpr double kLeastRandomSpan_s = 10.0;
constexpr double kScrapeFrom_hz = 100.0;

struct Total {
  std::optional<double> unweighted, weighted;  // power, percent squared
};

std::optional<double> power_of(const std::optional<FlutterFigure>& rms) noexcept {
  if (!rms || !rms->percent || !(*rms->percent > 0.0) || !(*rms->percent <= 100.0)) return std::nullopt;
  return *rms->percent * *rms->percent;
}

// A sine of peak A has A^2 / 2.
struct FamilyPower {
  double unweighted = 0.0, weighted = 0.0;
};
FamilyPower power_of(const PeakFamily& family, std::span<const FlutterPeak> peaks) noexcept {
  FamilyPower power;
  for (const FamilyMember& member : family.members) {
    const FlutterPeak& peak = peaks[member.peak];
    const double gain = weighting_gain(peak.rate_hz), mine = peak.peak_percent * peak.peak_percent / 2.0;
    power.unweighted += mine;
    power.weighted += gain * gain * mine;
  }
  return power;
}

std::optional<double> share(double power, const std::optional<double>& total) noexcept {
  if (!total) return std::nullopt;
  return std::clamp(power / *total, 0.0, 1.0);
}

Sureness sureness_of(const PartMatch& match, const PeakFamily& family) noexcept {
  if (match.fits.empty()) return Sureness::hint;
  const double probability = match.fits[0].probability;
  const bool held = family.steady || family.moving;
  if (probability >= kLikely && held) return Sureness::likely;
  return probability >= kPossible ? Sureness::possible : Sureness::hint;
}

// Two parts that fit alike could be told apart by a finer spectrum (its resolution is 2 / span), or by seeing which way
// a reel's rate goes.
std::optional<double> needs_span_s(const Cause& cause, const PeakFamily& family, const MatchTerms& terms) noexcept {
  if (!cause.equal || cause.fits.size() < 2) return std::nullopt;
  const Part a = cause.fits[0].part, b = cause.fits[1].part;
  std::optional<double> needed;
  if (is_reel(a) && is_reel(b)) {
    needed = span_to_see_a_reel_s(family, terms);
  } else {
    const auto& range_a = terms.ranges[static_cast<std::size_t>(a)];
    const auto& range_b = terms.ranges[static_cast<std::size_t>(b)];
    const double gap =
        range_a && range_b ? std::max(range_a->low_hz - range_b->high_hz, range_b->low_hz - range_a->high_hz) : 0.0;
    if (gap > 0.0) needed = 2.0 / gap;
  }
  // Longer than the spectrum ever spans is of no use.
  if (!needed || *needed <= terms.span_s || *needed > 60.0) return std::nullopt;
  return needed;
}

class Finding {
 public:
  explicit Finding(const FlutterEvidence& evidence) noexcept
      : evidence_(evidence),
        beyond_(beyond_usual(evidence)),
        total_{power_of(evidence.figures.unweighted_rms), power_of(evidence.figures.weighted_rms)} {}

  Causes find() noexcept {
    causes_.thin = thin_for_rates(evidence_);
    if (causes_.thin == Thin::not_measured || causes_.thin == Thin::just_turned) return causes_;
    if (!causes_.thin) {
      add_rates();
      add_random();
    }
    add_scrape();
    add_level();
    add_move();
    add_trimmer();
    ask_for_named_parts();
    sort_few(causes_.list.begin(), causes_.list.end(), [](const Cause& a, const Cause& b) {
      if (a.fault != b.fault) return a.fault;
      const bool last_a = a.kind == CauseKind::trimmer, last_b = b.kind == CauseKind::trimmer;
      return last_a != last_b ? last_b : a.rank > b.rank;
    });
    return causes_;
  }

 private:
  [[nodiscard]] double speed_error_percent() const noexcept {
    const double error = evidence_.reading.speed_error_percent.value_or(0.0);
    return std::isfinite(error) ? error : 0.0;
  }
  void add(Cause cause) noexcept {
    if (cause.fault) cause.steps = steps_for(cause.kind);
    causes_.list.add(cause);
  }

  void add_rates() noexcept {
    MatchTerms terms = match_terms(evidence_.known, speed_error_percent(), evidence_.span_s, evidence_.resolution_hz);
    ShortList<RateRange, kPartCount> entered;
    for (const auto& range : terms.ranges)
      if (range && range->knowledge == Knowledge::entered) entered.add(*range);
    PeakFamilies families =
        find_families(evidence_.peaks, {evidence_.span_s, evidence_.resolution_hz, {entered.begin(), entered.size()}});
    // The strongest first: what it is taken for, a weaker one is not.
    sort_few(families.begin(), families.end(), [&](const PeakFamily& a, const PeakFamily& b) {
      return power_of(a, evidence_.peaks).unweighted > power_of(b, evidence_.peaks).unweighted;
    });
    // Above 100 Hz there is no part's own rate: that is scrape's.
    for (const PeakFamily& family : families)
      if (family.rate_hz < kScrapeFrom_hz) add_family(family, terms);
  }

  void add_family(const PeakFamily& family, MatchTerms& terms) noexcept {
    const FamilyPower power = power_of(family, evidence_.peaks);
    const PartMatch match = match_part(family, terms);
    Cause cause;
    cause.share_percent = share(power.unweighted, total_.unweighted);
    const double weighted_share = share(power.weighted, total_.weighted).value_or(0.0);
    explained_ += cause.share_percent.value_or(0.0);
    const bool unweighted_fault = beyond_.unweighted && cause.share_percent.value_or(0.0) >= kFaultShare;
    cause.fault = unweighted_fault || (beyond_.weighted && weighted_share >= kFaultShare);
    describe(cause, family, match, terms);
    if (cause.sureness != Sureness::hint) {
      const PartFit& fit = cause.fits[0];
      terms.taken_hz[static_cast<std::size_t>(fit.part)] = family.rate_hz / fit.harmonic;
    }
    if (std::max(cause.share_percent.value_or(1.0), weighted_share) < kLeastShare) return;
    if (causes_.list.size() >= kMostRates) return;
    cause.rank = 100.0 * cause.share_percent.value_or(weighted_share);
    if (cause.share_percent) *cause.share_percent *= 100.0;
    add(cause);
  }

  void describe(Cause& cause, const PeakFamily& family, const PartMatch& match,
                const MatchTerms& terms) const noexcept {
    cause.rate_hz = family.rate_hz;
    if (family.moving) cause.change_hz_per_minute = family.change_hz_per_minute;
    for (const FamilyMember& member : family.members) {
      const FlutterPeak& peak = evidence_.peaks[member.peak];
      cause.peaks.add({member.peak, peak.rate_hz, peak.peak_percent, member.harmonic});
    }
    for (const PartFit& fit : match.fits) cause.fits.add(fit);
    cause.sureness = sureness_of(match, family);
    const bool known = !match.fits.empty() && match.fits[0].probability > match.unknown_probability;
    cause.kind = known ? cause_kind(match.fits[0].part) : CauseKind::unknown_rate;
    if (!known) cause.sureness = Sureness::hint;
    cause.equal = known && match.fits.size() > 1 && match.fits[1].probability >= kEqual * match.fits[0].probability;
    cause.needs_span_s = needs_span_s(cause, family, terms);
  }

  // Power of scrape, and of what lines beside the tone make.
  [[nodiscard]] double not_the_parts() const noexcept {
    double power = power_of(evidence_.figures.scrape_rms).value_or(0.0);
    for (const FlutterPeak& peak : evidence_.peaks)
      if (peak.foreign && peak.rate_hz < kScrapeFrom_hz) power += peak.peak_percent * peak.peak_percent / 2.0;
    return power;
  }

  void add_random() noexcept {
    const double rest = 1.0 - explained_ - share(not_the_parts(), total_.unweighted).value_or(0.0);
    if (evidence_.since_jump_s || !total_.unweighted || rest < kRandomShare || evidence_.span_s < kLeastRandomSpan_s)
      return;
    Cause cause;
    cause.kind = CauseKind::random_wow;
    cause.fault = beyond_.any();
    // A strong rate that wanders hides its strength: then what seems to have no rhythm has one.
    const bool wandering = std::any_of(evidence_.peaks.begin(), evidence_.peaks.end(), [&](const FlutterPeak& peak) {
      return is_usable(peak, evidence_.span_s) && !peak.steady && !peak.moving;
    });
    cause.sureness = wandering ? Sureness::hint : Sureness::possible;
    cause.rank = 100.0 * rest;
    cause.share_percent = cause.rank;
    add(cause);
  }

  void add_scrape() noexcept {
    if (!has_scrape(evidence_)) return;
    Cause cause;
    cause.kind = CauseKind::scrape;
    cause.fault = true;
    cause.sureness = Sureness::possible;
    cause.figure = evidence_.figures.scrape_rms->percent;
    const double power = *cause.figure * *cause.figure;
    cause.share_percent = share(power, total_.unweighted);
    if (cause.share_percent) *cause.share_percent *= 100.0;
    cause.rank = cause.share_percent.value_or(50.0);
    add(cause);
  }

  // By how much the usual is passed, in power: 50 at the usual itself.
  static double excess(double value, double usual) noexcept {
    const double ratio = usual / value;
    return 100.0 / (1.0 + ratio * ratio);
  }
  void add_level() noexcept {
    if (has_level_flutter(evidence_)) {
      Cause cause;
      cause.kind = CauseKind::level_flutter;
      cause.fault = true;
      cause.sureness = Sureness::possible;
      cause.figure = evidence_.level_rms_percent;
      cause.rank = excess(*cause.figure, kUsualLevel_percent);
      add(cause);
    }
    if (has_dropouts(evidence_)) {
      Cause cause;
      cause.kind = CauseKind::dropouts;
      cause.fault = true;
      cause.sureness = Sureness::likely;  // that they are dropouts; the head or the tape is left open
      cause.figure = evidence_.dropouts_per_minute;
      cause.rank = excess(*cause.figure, kUsualDropouts_per_minute);
      add(cause);
    }
  }

  void add_move() noexcept {
    const std::optional<SpeedMove> move = speed_move(evidence_);
    if (!move || !is_large(*move, tolerance_of(evidence_))) return;
    Cause cause;
    cause.kind = move->change_percent < 0.0 ? CauseKind::sag : CauseKind::warm_up;
    cause.fault = true;
    cause.sureness = Sureness::possible;  // that it moved is sure; what makes it is left open
    cause.figure = move->change_percent;
    cause.over_s = move->over_s;
    const double power = move->change_percent * move->change_percent / 12.0;
    cause.rank = 100.0 / (1.0 + total_.unweighted.value_or(0.0) / power);
    add(cause);
  }

  void add_trimmer() noexcept {
    const Reading& reading = evidence_.reading;
    if (reading.status != Status::measured || !reading.speed_error_percent || !reading.u95_percent) return;
    if (!(std::abs(*reading.speed_error_percent) - *reading.u95_percent > tolerance_of(evidence_))) return;
    if (!std::isfinite(*reading.speed_error_percent)) return;
    Cause cause;
    cause.kind = CauseKind::trimmer;
    cause.fault = true;
    cause.sureness = leading_fault(causes_) ? Sureness::hint : Sureness::possible;
    cause.figure = reading.speed_error_percent;
    add(cause);
  }

  void ask_for_named_parts() noexcept {
    if (!leading_fault(causes_)) return;
    for (Cause& cause : causes_.list)
      if (!cause.fault && names_a_part(cause.kind)) cause.steps = steps_for(cause.kind);
  }

  static constexpr std::size_t kMostRates = 6;
  const FlutterEvidence& evidence_;
  BeyondUsual beyond_;
  Total total_;
  double explained_ = 0.0;
  Causes causes_;
};

}  // namespace

std::string_view name_of(Sureness sureness) noexcept {
  switch (sureness) {
    case Sureness::likely: return "likely";
    case Sureness::possible: return "possible";
    case Sureness::hint: return "hint";
  }
  return "hint";
}

Causes find_causes(const FlutterEvidence& evidence) noexcept { return Finding(evidence).find(); }

const Cause* cause_of_peak(const Causes& causes, std::size_t peak) noexcept {
  for (const Cause& cause : causes.list)
    for (const CausePeak& mine : cause.peaks)
      if (mine.peak == peak) return &cause;
  return nullptr;
}

const Cause* leading_fault(const Causes& causes) noexcept {
  for (const Cause& cause : causes.list)
    if (cause.fault) return &cause;
  return nullptr;
}

RepairSteps work_list(const Causes& causes) noexcept {
  RepairSteps all;
  for (const Cause& cause : causes.list) all = joined(all, cause.steps);
  return all;
}

}  // namespace four76
