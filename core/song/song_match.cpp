#include "core/song/song_match.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/song/loss_comb.hpp"

namespace four76 {
namespace {
constexpr double kLeastHeld_s = 5.0;  // some 25 windows that do not overlap
// Where no straight course is, the way follows chance: a mean z of 2.8; bars that return and other performances reach
// 5.2. The same recording is at 8 and more; a flute in hiss and reverberation at 5.6, on a straight line unless it
// slipped by a note's period (four76_song_scenes).
constexpr double kSureEvidence = 6.5;
constexpr double kLikelyEvidence = 5.6;
constexpr double kLikelyScatter_s = 0.001;
constexpr double kSlipScatter_s = 0.0004;                // a note's period is 0.3 ms and more
constexpr std::array<double, 2> kPitchWander{1.0, 0.4};  // a tenth of a percent of pitch, 0.2 ms, is 0.4 (derived)
constexpr double kAsMuch = 0.95;
constexpr double kSureRun = 7.5;  // of the best ten seconds, where much of the tape is not in the reference
constexpr double kLeastShare = 0.30;
constexpr double kMaybeEvidence = 4.5;
constexpr double kMostRough_s = 0.0008;     // 0.5 % wow of 1 Hz bends 0.6 s by so much; players do not keep to it
constexpr double kMostScatter_s = 0.004;    // 0.5 % wow of 0.2 Hz
constexpr double kGoodU95_percent = 0.015;  // of a way that need not be as narrow as another
// The mean pitch of 150 honest tapes agreed with the speed within 0.02 % and 1.8 times its u95, but for drums, whose
// pitch falls while they sound: -0.13 +- 0.06 % in a room.
constexpr double kPitchOff_percent = 0.05;
constexpr double kPitchOff_u95 = 3.0;
constexpr double kWorstShare = 1.5;  // of a loss, in the middle of the tape, in the slope (derived)
constexpr double kAlike = 0.58;      // agreement that chance does not give (chance: 0.5 +- 0.013, best of many 0.56)
constexpr double kTrackStep = 0.06;
constexpr double kTrust_power = 1e-9;  // -90 dBFS

double power_of(std::span<const float> samples) noexcept {
  double sum = 0.0;
  for (const float sample : samples) sum += static_cast<double>(sample) * sample;
  return samples.empty() ? 0.0 : sum / static_cast<double>(samples.size());
}

void judge(SongMatch& match, double agreement) {
  if (!match.fit) {
    if (agreement > kAlike) match.reasons.push_back(SongReason::different_recording);
    return;
  }
  const SongFit& fit = *match.fit;
  const bool smooth = fit.rough_s < kMostRough_s && fit.scatter_s < kMostScatter_s;
  const bool sure = fit.evidence >= kSureEvidence || fit.best_evidence >= kSureRun ||
                    (fit.evidence >= kLikelyEvidence && fit.scatter_s < kLikelyScatter_s);
  if (sure && fit.held_share >= kLeastShare && fit.held_s >= kLeastHeld_s && smooth) {
    match.status = SongStatus::matched;
    if (fit.held_share < 0.9) match.reasons.push_back(SongReason::tape_dropout);
    if (fit.edits > 0) match.reasons.push_back(SongReason::tape_edit);
    return;
  }
  const bool partly = fit.longest_s >= 0.5 * kLeastHeld_s && fit.held_share >= 0.1;
  if (fit.best_evidence >= kSureRun && partly) {
    match.status = SongStatus::unreliable;
    match.reasons.push_back(SongReason::too_little_overlap);
  } else if (agreement > kAlike || fit.evidence >= kMaybeEvidence) {
    match.status = SongStatus::unreliable;
    match.reasons.push_back(SongReason::different_recording);
  }
}

// A device that loses samples makes the song pass faster than its notes are high. Losses that the track stepped over
// one by one, and zeros in the place of samples, do no harm: then the notes are as high as the song is fast.
void judge_losses(SongMatch& match, const LostSamples& lost, double tape_s, bool comb) {
  const double lost_percent = 100.0 * lost.seconds / tape_s;
  bool suspect = false;
  if (match.fit && match.status == SongStatus::matched) {
    SongFit& fit = *match.fit;
    const bool known = fit.pitch_percent && fit.pitch_u95_percent;
    suspect = known && std::abs(*fit.pitch_percent) > kPitchOff_percent + kPitchOff_u95 * *fit.pitch_u95_percent;
    const bool vouched = known && std::abs(*fit.pitch_percent) + *fit.pitch_u95_percent < 0.5 * lost_percent;
    if (!vouched && fit.edits < lost.places) fit.u95_percent += kWorstShare * lost_percent;
    suspect = suspect || comb;
  }
  if (suspect) match.status = SongStatus::unreliable;
  if (!suspect && lost.places == 0) return;
  // Where there is no figure, many losses are the first thing to mend.
  const bool first = match.status != SongStatus::matched && (suspect || lost_percent > kPitchOff_percent);
  match.reasons.insert(first ? match.reasons.begin() : match.reasons.end(), SongReason::capture_gap);
}

struct Followed {
  std::optional<SongFit> fit;
  DelayPath path;
  [[nodiscard]] double height() const noexcept { return fit ? fit->evidence : 0.0; }
  [[nodiscard]] double proof() const noexcept { return fit ? fit->evidence * std::sqrt(fit->held_share) : 0.0; }
};

Followed followed(DelayPath path) {
  auto fit = fit_song(path);
  return {fit, std::move(path)};
}

// More height on less of the tape, or on more pieces of it, is no better way.
bool is_as_whole(const SongFit& fit, const SongFit& than) noexcept {
  return fit.held_share >= kAsMuch * than.held_share && fit.edits <= than.edits &&
         fit.u95_percent <= std::max(than.u95_percent, kGoodU95_percent);
}

// Where it is surely the same recording, but not on one line, it is followed by the pitch, too: what gathers most is
// what slips least. Another recording never comes that far, so that nothing is added to what may prove one.
Followed follow_well(DelayTrack& track, std::span<const SongPlace> course) {
  Followed best = followed(track.follow(course));
  if (best.height() < kLikelyEvidence || best.fit->scatter_s < kSlipScatter_s) return best;
  for (const double wander : kPitchWander) {
    Followed other = followed(track.follow_by_pitch(course, wander));
    if (other.height() <= best.height() || !is_as_whole(*other.fit, *best.fit)) continue;
    const double scatter_s = other.fit->scatter_s;  // one line, or straighter than before
    if (scatter_s < kLikelyScatter_s || scatter_s < best.fit->scatter_s) best = std::move(other);
  }
  return best;
}

// Where there is no match the way lies upon chance for half of the time: only what would prove one is called followed.
void keep_what_is_sure(SongMatch& match) {
  std::size_t heard = 0;
  std::size_t held = 0;
  for (DelayPoint& point : match.path.points) {
    point.held = point.held && point.z >= kSureEvidence;
    heard += point.heard ? 1 : 0;
    held += point.held ? 1 : 0;
  }
  match.fit->held_s = static_cast<double>(held) * DelayTrack::kStep_s;
  match.fit->held_share = heard > 0 ? static_cast<double>(held) / static_cast<double>(heard) : 0.0;
}
}  // namespace

std::string_view name_of(SongStatus status) noexcept {
  switch (status) {
    case SongStatus::not_matched: return "not_matched";
    case SongStatus::unreliable: return "unreliable";
    case SongStatus::matched: return "matched";
  }
  return "";
}

std::string_view name_of(SongReason reason) noexcept {
  switch (reason) {
    case SongReason::too_quiet: return "too_quiet";
    case SongReason::too_short: return "too_short";
    case SongReason::different_recording: return "different_recording";
    case SongReason::too_little_overlap: return "too_little_overlap";
    case SongReason::tape_dropout: return "tape_dropout";
    case SongReason::tape_edit: return "tape_edit";
    case SongReason::not_steady: return "not_steady";
    case SongReason::capture_gap: return "capture_gap";
  }
  return "";
}

// Of what lost samples widened, these are the first thing to mend.
void hold_against(SongMatch& match, double tolerance_percent) {
  auto& reasons = match.reasons;
  if (std::erase(reasons, SongReason::not_steady) > 0) match.status = SongStatus::matched;
  if (match.status != SongStatus::matched || is_known_enough(match.fit->u95_percent, tolerance_percent)) return;
  match.status = SongStatus::unreliable;
  const auto gap = std::find(reasons.begin(), reasons.end(), SongReason::capture_gap);
  if (gap != reasons.end()) std::rotate(reasons.begin(), gap, gap + 1);
  reasons.insert(gap != reasons.end() ? reasons.begin() + 1 : reasons.begin(), SongReason::not_steady);
}

std::optional<SongMatch> match_song(std::span<const float> reference, std::span<const float> tape,
                                    const std::function<bool(double)>& keep_on, const LostSamples& lost) {
  bool has_stopped = false;
  const auto stopped = [&](double done) { return has_stopped = has_stopped || (keep_on && !keep_on(done)); };
  SongMatch match;
  const auto shortest = static_cast<std::size_t>(kShortestTape_s * kSongRate_hz);
  if (tape.size() < shortest || reference.size() < shortest) match.reasons.push_back(SongReason::too_short);
  if (power_of(tape) < kTrust_power || power_of(reference) < kTrust_power)
    match.reasons.push_back(SongReason::too_quiet);
  if (!match.reasons.empty()) return match;

  const SongSearch search(reference);
  if (stopped(0.2)) return std::nullopt;
  const auto places = search.find(tape);
  if (stopped(0.6)) return std::nullopt;
  if (places.empty()) return match;
  double done = 0.6;  // each answer of the track's comes nearer to the end
  DelayTrack track(reference, tape, [&] { return !stopped(done += kTrackStep * (1.0 - done)); });
  Followed best;
  double agreement = 0.5;
  // The fine track decides between the two best: bars of a loop look alike from afar.
  for (std::size_t i = 0; i < std::min<std::size_t>(2, places.size()); ++i) {
    if (i > 0 && best.proof() > kSureEvidence) break;
    Followed next = follow_well(track, search.course_of(tape, places[i]));
    if (has_stopped) return std::nullopt;
    if (i > 0 && next.proof() <= best.proof()) continue;
    agreement = places[i].agreement;
    best = std::move(next);
  }
  match.fit = best.fit;
  match.path = std::move(best.path);
  if (places.size() > 1 && places[0].agreement > 0.5)
    match.second_best_ratio = std::max(0.0, places[1].agreement - 0.5) / (places[0].agreement - 0.5);
  judge(match, agreement);
  const bool comb = match.status == SongStatus::matched && sure_comb(reference, tape, match.path);
  judge_losses(match, lost, static_cast<double>(tape.size()) / kSongRate_hz, comb);
  hold_against(match, kUsualTolerance_percent);
  const bool strange =
      match.status == SongStatus::not_matched ||
      std::find(match.reasons.begin(), match.reasons.end(), SongReason::different_recording) != match.reasons.end();
  if (match.fit && strange) keep_what_is_sure(match);
  return match;
}

}  // namespace four76
