#include "core/tapes/speed_posterior.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>

namespace four76 {
namespace {

// Where recordings lie about the concert pitch that they were meant for, in cents: made by machines that are right, or
// tuned by ear; and one in some thirty anywhere. Rounded from 105 recordings of 23 makers in Debian's packages
// (tests/data/music.txt): 50, 80, 90, 95 of 100 lie within 1.5, 4, 9, 12 cents.
struct Spread {
  double share, centre_cents, sigma_cents;
};
constexpr std::array<Spread, 2> kTunings{{{0.80, 0.0, 3.5}, {0.17, 1.0, 9.0}}};
constexpr double kAnywhere = 0.03;
// What the tapes of one drawer have in common: a maker, a decade. Of our own choosing, for no source says it.
constexpr double kShared_cents = 2.5;

// The grid's own frequency, one sigma: 50 Hz is normally held within 0.05 Hz (ENTSO-E, from memory).
constexpr double kGridSigma_percent = 0.1 / 1.96;
// How often a comb that is on the tape is hum, and no bass that lies between two notes: 8 of 171 tapes of music without
// hum show one (four76_any_tape, seed 5), and few tapes carry hum. Of our own choosing.
constexpr double kIsHum = 0.1;
// How often a line there is a television's, and no tone of the music itself: 4 of 115 recordings carry one
// (tests/data/music.txt, played as they are).
constexpr double kIsLineScan = 0.97;
// Of a studio's line scan: some ten parts in a million; of a home computer's or a set without a signal, more.
constexpr double kLineScanSigma_percent = 0.002;

constexpr double kDecided = 0.95;       // one candidate holds so much: measured
constexpr double kWorthTelling = 0.02;  // a candidate that holds less is not told
constexpr std::size_t kMostCandidates = 3;
// A tape whose likelihood there is less than a tenth of what any tuning at all would give says something else.
constexpr double kDisagrees = 0.1;

// "About right" to a listener who knows the song: a semitone is heard by everybody, half of one by most (common
// practice).
constexpr double kSoundsRight_percent = 1.5;
constexpr double kSoundsOff_percent = 1.0;  // "too slow" or "too fast": from about here on

double cents_at(std::size_t at) noexcept { return 1200.0 * std::log2(1.0 + grid_percent(at) / 100.0); }

double normal(double x, double sigma) noexcept {
  return std::exp(-0.5 * x * x / (sigma * sigma)) / (sigma * std::sqrt(2.0 * 3.14159265358979));
}

double within_semitone(double cents) noexcept { return cents - 100.0 * std::round(cents / 100.0); }

// Probability a cent of a piece that lies so far from its concert pitch.
double tuning_density(double cents, double measured_sigma) noexcept {
  double density = kAnywhere / 100.0;
  for (const Spread& spread : kTunings)
    for (const double semitone : {-100.0, 0.0, 100.0})
      density +=
          spread.share * normal(cents - spread.centre_cents - semitone, std::hypot(spread.sigma_cents, measured_sigma));
  return density;
}

double cents_of_ratio(double ratio) noexcept { return 1200.0 * std::log2(ratio); }

// The likelihood of each speed in a unit that all kinds share: 1 is what no evidence at all gives.
std::vector<double> likelihood_of(const Evidence& evidence, const TuningPrior& prior) {
  std::vector<double> likelihood(kSpeedGridSize, 1.0);
  if (evidence.kind == EvidenceKind::concert_pitch) {
    if (!prior.concert_a_hz) return likelihood;
    const double offset = cents_of_ratio(evidence.measured_hz / *prior.concert_a_hz);
    const double sigma = evidence.measured_u95_percent / 1.96 * (1200.0 / std::log(2.0) / 100.0);
    for (std::size_t at = 0; at < likelihood.size(); ++at)
      likelihood[at] = 100.0 * tuning_density(within_semitone(offset - cents_at(at)), sigma);
    return likelihood;
  }
  const double own = evidence.kind == EvidenceKind::mains_hum ? kGridSigma_percent : kLineScanSigma_percent;
  const double sigma = std::max(std::hypot(own, evidence.measured_u95_percent / 1.96), kSpeedGridStep_percent);
  const double speed = 100.0 * (evidence.measured_hz / evidence.nominal_hz - 1.0);
  const double sure = evidence.on_tape_probability * (evidence.kind == EvidenceKind::mains_hum ? kIsHum : kIsLineScan);
  for (std::size_t at = 0; at < likelihood.size(); ++at)
    likelihood[at] = sure * 2.0 * kMostTapeError_percent * normal(grid_percent(at) - speed, sigma) + (1.0 - sure);
  return likelihood;
}

void multiply(std::vector<double>& logs, const std::vector<double>& likelihood) noexcept {
  for (std::size_t at = 0; at < logs.size(); ++at) logs[at] += std::log(std::max(likelihood[at], 1e-30));
}

// Two nominals of one kind on one tape are one line told twice: their likelihoods add up.
std::vector<double> logs_of(const TapeFindings& tape, std::initializer_list<EvidenceKind> kinds,
                            const TuningPrior& prior) {
  std::vector<double> logs(kSpeedGridSize);
  for (const EvidenceKind kind : kinds) {
    std::vector<double> either;
    double told = 0.0;
    for (const Evidence& evidence : tape.evidence) {
      if (evidence.kind != kind) continue;
      const auto one = likelihood_of(evidence, prior);
      if (either.empty())
        either = one;
      else
        for (std::size_t at = 0; at < either.size(); ++at) either[at] += one[at] - 1.0;
      told += 1.0;
    }
    if (told > 0.0) multiply(logs, either);
  }
  return logs;
}

void add(std::vector<double>& sum, const std::vector<double>& logs) noexcept {
  for (std::size_t at = 0; at < sum.size(); ++at) sum[at] += logs[at];
}

bool says_something(const std::vector<double>& logs) noexcept {
  const auto [lowest, highest] = std::minmax_element(logs.begin(), logs.end());
  return *highest - *lowest > 0.5;
}

// The highest becomes 1.
std::vector<double> density_of(const std::vector<double>& logs) {
  const double highest = *std::max_element(logs.begin(), logs.end());
  std::vector<double> density;
  density.reserve(logs.size());
  for (const double one : logs) density.push_back(std::exp(one - highest));
  return density;
}

// By a Gaussian of so many percent; the ends lose nothing that matters.
void widen(std::vector<double>& density, double sigma_percent) {
  const auto reach = static_cast<std::ptrdiff_t>(3.0 * sigma_percent / kSpeedGridStep_percent);
  std::vector<double> kernel;
  for (std::ptrdiff_t d = -reach; d <= reach; ++d)
    kernel.push_back(normal(static_cast<double>(d) * kSpeedGridStep_percent, sigma_percent));
  const std::vector<double> old = density;
  const auto count = static_cast<std::ptrdiff_t>(density.size());
  for (std::ptrdiff_t at = 0; at < count; ++at) {
    double sum = 0.0;
    for (std::ptrdiff_t d = -reach; d <= reach; ++d)
      if (at + d >= 0 && at + d < count)
        sum += old[static_cast<std::size_t>(at + d)] * kernel[static_cast<std::size_t>(d + reach)];
    density[static_cast<std::size_t>(at)] = sum;
  }
}

double sounding(SoundsLike sounds_like, double percent) noexcept {
  const auto slope = [](double x) { return 1.0 / (1.0 + std::exp(-4.0 * x)); };
  switch (sounds_like) {
    case SoundsLike::not_said: return 1.0;
    case SoundsLike::slow: return slope(-percent - kSoundsOff_percent);
    case SoundsLike::right: return normal(percent, kSoundsRight_percent) / normal(0.0, kSoundsRight_percent);
    case SoundsLike::fast: return slope(percent - kSoundsOff_percent);
  }
  return 1.0;
}

// The stretch about the highest point that is left, as a candidate; what it covers is marked.
std::optional<SpeedCandidate> next_candidate(const std::vector<double>& density, std::vector<bool>& taken, double all) {
  std::size_t peak = density.size();
  for (std::size_t at = 0; at < density.size(); ++at)
    if (!taken[at] && (peak == density.size() || density[at] > density[peak])) peak = at;
  if (peak == density.size() || density[peak] <= 0.0) return std::nullopt;
  // Half a semitone to either side at most: what lies farther is another candidate's.
  constexpr auto kHalfSemitone = static_cast<std::size_t>(2.97 / kSpeedGridStep_percent);
  std::size_t from = peak, to = peak;
  while (from > 0 && !taken[from - 1] && peak - from < kHalfSemitone) --from;
  while (to + 1 < density.size() && !taken[to + 1] && to - peak < kHalfSemitone) ++to;
  double sum = 0.0, mean = 0.0;
  for (std::size_t at = from; at <= to; ++at) {
    taken[at] = true;
    sum += density[at];
    mean += density[at] * grid_percent(at);
  }
  mean /= sum;
  // The half-width about the mean, grown until it holds 95 %.
  double held = 0.0, half_width = 0.0;
  const auto middle = static_cast<std::size_t>(std::lround((mean + kMostTapeError_percent) / kSpeedGridStep_percent));
  for (std::size_t reach = 0; reach < density.size() && held < 0.95 * sum; ++reach) {
    if (middle >= from + reach && middle - reach <= to) held += density[middle - reach];
    if (reach > 0 && middle + reach >= from && middle + reach <= to) held += density[middle + reach];
    half_width = kSpeedGridStep_percent * (static_cast<double>(reach) + 0.5);
  }
  return SpeedCandidate{.speed_error_percent = mean, .u95_percent = half_width, .probability = sum / all};
}

bool has(const TapeFindings& tape, TapeReason reason) noexcept {
  return std::find(tape.reasons.begin(), tape.reasons.end(), reason) != tape.reasons.end();
}

// What the tapes give as reasons where none of them says a speed: the commonest.
std::optional<TapeReason> reason_of(std::span<const TapeFindings> tapes) {
  std::optional<TapeReason> commonest;
  std::ptrdiff_t most = 0;
  for (const TapeReason reason : {TapeReason::no_pitch, TapeReason::too_short, TapeReason::too_quiet}) {
    const auto count =
        std::count_if(tapes.begin(), tapes.end(), [&](const TapeFindings& tape) { return has(tape, reason); });
    if (count > most) most = count, commonest = reason;
  }
  return commonest;
}

}  // namespace

std::string_view name_of(TapeStatus status) noexcept {
  switch (status) {
    case TapeStatus::none: return "none";
    case TapeStatus::ambiguous: return "ambiguous";
    case TapeStatus::measured: return "measured";
  }
  return "";
}

std::vector<float> log_likelihood_of(const Evidence& evidence, const TuningPrior& prior) {
  const auto likelihood = likelihood_of(evidence, prior);
  const double highest = *std::max_element(likelihood.begin(), likelihood.end());
  std::vector<float> logs;
  logs.reserve(likelihood.size());
  for (const double one : likelihood) logs.push_back(static_cast<float>(std::log(std::max(one / highest, 1e-30))));
  return logs;
}

SpeedAnswer speed_from(std::span<const TapeFindings> tapes, const TuningPrior& prior, double tolerance_percent,
                       SoundsLike sounds_like) {
  SpeedAnswer answer;
  std::vector<double> by_pitch(kSpeedGridSize), by_lines(kSpeedGridSize);
  std::vector<std::vector<double>> each;
  std::size_t tapes_that_say = 0, tapes_with_pitch = 0;
  for (const TapeFindings& tape : tapes) {
    const auto pitch = logs_of(tape, {EvidenceKind::concert_pitch}, prior);
    each.push_back(logs_of(tape, {EvidenceKind::line_scan, EvidenceKind::mains_hum}, prior));
    add(by_pitch, pitch);
    add(by_lines, each.back());
    add(each.back(), pitch);
    if (says_something(pitch)) ++tapes_with_pitch;
    if (says_something(each.back())) ++tapes_that_say;
  }
  if (tapes_that_say == 0) {
    if (!tapes.empty()) answer.reasons.push_back(reason_of(tapes).value_or(TapeReason::no_pitch));
    return answer;
  }
  if (tapes_with_pitch > 1) {  // how music is tuned is what tapes share: a line stays as sharp as it is
    by_pitch = density_of(by_pitch);
    widen(by_pitch, kShared_cents * std::log(2.0) / 12.0);
    for (double& one : by_pitch) one = std::log(std::max(one, 1e-300));
  }
  add(by_lines, by_pitch);
  std::vector<double> density = density_of(by_lines);
  for (std::size_t at = 0; at < density.size(); ++at)
    density[at] *=
        sounding(sounds_like, grid_percent(at)) / (1.0 + grid_percent(at) / 100.0);  // beforehand even in cents

  double all = 0.0;
  for (const double one : density) all += one;
  std::vector<bool> taken(density.size());
  while (answer.candidates.size() < kMostCandidates + 1) {
    const auto candidate = next_candidate(density, taken, all);
    if (!candidate) break;
    if (candidate->probability >= kWorthTelling)
      answer.candidates.push_back(*candidate);
    else if (!answer.candidates.empty())
      break;
  }
  // Of those that are about as likely the one nearest to the right speed leads.
  std::stable_sort(answer.candidates.begin(), answer.candidates.end(),
                   [](const SpeedCandidate& a, const SpeedCandidate& b) {
                     const long tenths = std::lround(10.0 * a.probability), others = std::lround(10.0 * b.probability);
                     if (tenths != others) return tenths > others;
                     return std::abs(a.speed_error_percent) < std::abs(b.speed_error_percent);
                   });
  if (answer.candidates.size() > kMostCandidates) answer.candidates.resize(kMostCandidates);
  const double peak = *std::max_element(density.begin(), density.end());
  for (const double one : density) answer.density.push_back(static_cast<float>(one / peak));

  const SpeedCandidate best = answer.candidates.front();
  if (best.probability >= kDecided) {
    answer.status = TapeStatus::measured;
    answer.candidates.resize(1);
  } else {
    answer.status = TapeStatus::ambiguous;
    answer.reasons.push_back(TapeReason::ambiguous);
  }
  if (tapes.size() > 1) {
    // Of each candidate the speeds within its half-width count: a tape agrees with the best of them.
    for (std::size_t i = 0; i < tapes.size(); ++i) {
      double best_of_all = -1e9;
      for (const SpeedCandidate& candidate : answer.candidates)
        for (std::size_t at = 0; at < kSpeedGridSize; ++at)
          if (std::abs(grid_percent(at) - candidate.speed_error_percent) <= candidate.u95_percent)
            best_of_all = std::max(best_of_all, each[i][at]);
      if (best_of_all < std::log(kDisagrees)) answer.disagreeing.push_back(i);
    }
    if (!answer.disagreeing.empty()) answer.reasons.push_back(TapeReason::tapes_disagree);
  }
  // The half-width falls with the square root of the number, but for what all tapes share.
  constexpr double kSharedU95_percent = 1.96 * kShared_cents * 0.0578;
  const double own =
      std::sqrt(std::max(0.0, best.u95_percent * best.u95_percent -
                                  (tapes_with_pitch > 1 ? kSharedU95_percent * kSharedU95_percent : 0.0)));
  if (best.u95_percent <= tolerance_percent) {
    // Good enough is one speed that all tapes agree on.
    if (answer.status == TapeStatus::measured && answer.disagreeing.empty()) answer.tapes_to_go = 0;
  } else if (tolerance_percent > kSharedU95_percent) {
    const double left = std::sqrt(tolerance_percent * tolerance_percent - kSharedU95_percent * kSharedU95_percent);
    const double needed = static_cast<double>(tapes_that_say) * (own / left) * (own / left);
    answer.tapes_to_go =
        static_cast<std::size_t>(std::max(1.0, std::ceil(needed) - static_cast<double>(tapes_that_say)));
  }
  return answer;
}

EvidenceSpeed speed_of(const Evidence& evidence, const TuningPrior& prior) {
  if (evidence.kind != EvidenceKind::concert_pitch) {
    const double own = evidence.kind == EvidenceKind::mains_hum ? kGridSigma_percent : kLineScanSigma_percent;
    return {.speed_error_percent = 100.0 * (evidence.measured_hz / evidence.nominal_hz - 1.0),
            .u95_percent = std::hypot(1.96 * own, evidence.measured_u95_percent)};
  }
  TapeFindings alone;
  alone.evidence.push_back(evidence);
  const auto answer = speed_from(std::span(&alone, 1), prior, 0.5, SoundsLike::not_said);
  const SpeedCandidate* nearest = nullptr;
  for (const SpeedCandidate& candidate : answer.candidates)
    if (!nearest || std::abs(candidate.speed_error_percent) < std::abs(nearest->speed_error_percent))
      nearest = &candidate;
  if (!nearest) return {.u95_percent = kMostTapeError_percent};
  return {.speed_error_percent = nearest->speed_error_percent, .u95_percent = nearest->u95_percent};
}

}  // namespace four76
