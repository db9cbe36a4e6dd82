#include "core/song/loss_comb.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <numbers>

#include "core/signal/statistics.hpp"
#include "core/song/rate_changer.hpp"

namespace four76 {
namespace {
constexpr double kTau = 2.0 * std::numbers::pi;
constexpr float kClip = 3.0F;   // of the root mean square
constexpr float kUsual = 2.0F;  // of the mean weight: loud frames count for more, as they are surer
constexpr double kLeast_s = 5.0;
constexpr double kLowest_hz = 2.0;        // of the comb
constexpr double kHighest_hz = 145.0;     // of its lines: above, a frame blurs the jump
constexpr double kHighestComb_hz = 48.0;  // three lines and more: blocks of 1024 samples
constexpr double kSlowest_hz = 12.0;  // of the combs that are looked for in the near movement; slower: in the far one
constexpr int kMostLines = 40;
constexpr double kBlur_hz = 147.0;    // of a jump by a frame, whose Hann's window counts twice: 1 / e
constexpr float kMostOfLine = 30.0F;  // of chance's power: one line is no comb
constexpr std::size_t kBeside = 128;  // bins to either side that tell what chance has
constexpr int kPhasesALine = 8;
// Followed live for 40 s, honest tapes had 21 at most that the beat, the phase and what is between did not deny, and 34
// where hum was three times as loud as the music; drums with their beat had 136, with 10 times chance's loudness at its
// lines. Five samples of 2048 lost had 56 and more for drums, others 120 to 2900 (four76_song_devices' tapes). Slow
// combs: 82 honest tapes had 15 at most, 5 to 20 samples lost each 0.2 s 91 and more of 48 tapes, but for one of drums
// that lost five (four76_song_losses 6001 to 6012).
constexpr double kLeastStrength = 40.0;
constexpr double kLeastStrengthOfFew = 120.0;
constexpr int kFew = 4;  // lines
constexpr double kLeastInPhase = 0.5;
constexpr double kMostBetween = 0.25;
constexpr int kMostParts = 8;

// The reference as the tape plays it, sample after sample.
std::vector<float> played(std::span<const float> reference, std::size_t size, const DelayPath& track) {
  DelayPath path = track;
  for (int i = 0; i < 3; ++i) smooth(path);
  const SincTable table;
  std::vector<float> out(size);
  constexpr std::size_t kRun = 120;
  for (std::size_t n = 0; n < size; n += kRun) {
    const double from_s = static_cast<double>(n) / kSongRate_hz;
    const double to_s = from_s + static_cast<double>(kRun) / kSongRate_hz;
    const auto near =
        static_cast<std::size_t>(std::clamp(std::round((from_s - path.points.front().tape_s) / kDelayStep_s), 0.0,
                                            static_cast<double>(path.points.size() - 1)));
    const int piece = path.points[near].piece;
    const double from = (path.speed * from_s + lead_at(path, from_s, piece)) * kSongRate_hz;
    const double to = (path.speed * to_s + lead_at(path, to_s, piece)) * kSongRate_hz;
    const double step = (to - from) / static_cast<double>(kRun);
    for (std::size_t i = n; i < std::min(size, n + kRun); ++i)
      out[i] = table.at(reference, from + static_cast<double>(i - n) * step);
  }
  return out;
}

// Of the comb's lines: a jump is blurred by its frames, and the far movement holds it for as long as they lie apart.
double height_of_line(double hz, bool is_far) noexcept {
  const double blurred = hz / kBlur_hz;
  const double x = std::numbers::pi * hz * static_cast<double>(TapeMovement::kApart) / TapeMovement::kFrames_hz;
  return std::exp(-blurred * blurred) * (is_far ? std::sin(x) / x : 1.0);
}

int lines_of(double comb_hz) noexcept { return std::min(kMostLines, static_cast<int>(kHighest_hz / comb_hz)); }
}  // namespace

LossCombs::LossCombs(std::size_t most_frames)
    : fft_(std::bit_ceil(2 * most_frames)), bin_hz_(TapeMovement::kFrames_hz / static_cast<double>(fft_.size())) {
  values_.reserve(most_frames);
  scratch_.resize(2 * kBeside);
  record_.resize(fft_.size());
  for (Lines* lines : {&beat_, &near_, &far_}) {
    lines->values.resize(fft_.size() / 2 + 1);
    lines->chance.resize(fft_.size() / 2 + 1);
  }
}

void LossCombs::set(std::span<const TapeMovement::Frame> frames) noexcept {
  values_.clear();
  for (const auto& frame : frames) values_.push_back(frame.loudness);
  transform(beat_);
  transform_movement(frames, &TapeMovement::Frame::near, near_);
  transform_movement(frames, &TapeMovement::Frame::far, far_);
}

void LossCombs::transform_movement(std::span<const TapeMovement::Frame> frames,
                                   TapeMovement::Sums TapeMovement::Frame::*sums, Lines& into) noexcept {
  float usual = 1e-30F;
  for (const auto& frame : frames) usual += kUsual * (frame.*sums).bottom / static_cast<float>(frames.size());
  values_.clear();
  for (const auto& frame : frames) values_.push_back((frame.*sums).top / ((frame.*sums).bottom + usual));
  transform(into);
}

// What stands out of all others is no jump of a comb.
void LossCombs::transform(Lines& into) noexcept {
  const auto count = static_cast<float>(values_.size());
  float mean = 0.0F;
  for (const float value : values_) mean += value / count;
  float power = 0.0F;
  for (float& value : values_) {
    value -= mean;
    power += value * value / count;
  }
  const float most = kClip * std::sqrt(power);
  std::fill(record_.begin(), record_.end(), 0.0F);
  const std::size_t size = record_.size();
  for (std::size_t i = 0; i < values_.size(); ++i)
    record_[(i + size - values_.size() / 2) % size] = std::clamp(values_[i], -most, most);
  const auto lines = fft_.transform(record_);
  // The median of exponential powers is ln 2 of their mean. Renewed every few bins.
  const std::size_t count_of_bins = into.values.size();
  for (std::size_t k = 0; k < count_of_bins; k += kBeside / 4) {
    const auto near =
        lines.subspan(k - std::min(k, kBeside), std::min(k, kBeside) + std::min(kBeside, count_of_bins - k));
    std::transform(near.begin(), near.end(), scratch_.begin(), [](Complex line) { return std::norm(line); });
    const float chance =
        std::sqrt(median_of(std::span(scratch_).first(near.size())) / std::numbers::ln2_v<float> + 1e-30F);
    for (std::size_t i = k; i < std::min(count_of_bins, k + kBeside / 4); ++i) {
      into.values[i] = lines[i] / chance;
      into.chance[i] = chance;
    }
  }
}

std::size_t LossCombs::bin_of(double hz) const noexcept { return static_cast<std::size_t>(std::lround(hz / bin_hz_)); }

const LossCombs::Lines& LossCombs::lines_for(double hz) const noexcept { return hz < kSlowest_hz ? far_ : near_; }

// Its lines' power beyond chance.
double LossCombs::score_of(double hz) const noexcept {
  const auto& values = lines_for(hz).values;
  const int lines = lines_of(hz);
  double sum = 0.0;
  for (int i = 1; i <= lines; ++i)
    sum += static_cast<double>(std::min(kMostOfLine, std::norm(values[bin_of(hz * i)]))) - 1.0;
  return sum;
}

// The strongest mean power of the lines that a comb of a second to an eighth of that distance has more.
double LossCombs::power_between(double hz) const noexcept {
  const auto& values = lines_for(hz).values;
  double most = 0.0;
  for (int parts = 2; parts <= kMostParts; ++parts) {
    double sum = 0.0;
    int count = 0;
    for (int i = 1; hz * i / parts <= kHighest_hz && count < kMostLines; ++i) {
      if (i % parts == 0) continue;
      sum += static_cast<double>(std::norm(values[bin_of(hz * i / parts)]));
      ++count;
    }
    most = std::max(most, sum / std::max(1, count));
  }
  return most;
}

// Against what jumps of equal height would give: by their phase at one instant of the period, and by their height in
// units of chance's.
LossComb LossCombs::at(double hz, double least) const noexcept {
  const Lines& movement = lines_for(hz);
  const int lines = lines_of(hz);
  std::array<Complex, kMostLines> weighed;
  double power = 1e-30;
  double expected = 1e-30;
  double of_beat = 0.0;
  for (int i = 1; i <= lines; ++i) {
    const std::size_t bin = bin_of(hz * i);
    const float weight = static_cast<float>(height_of_line(hz * i, hz < kSlowest_hz)) / movement.chance[bin];
    weighed[static_cast<std::size_t>(i - 1)] = weight * movement.values[bin];
    power += static_cast<double>(std::norm(movement.values[bin]));
    expected += static_cast<double>(weight * weight);
    of_beat += static_cast<double>(std::min(kMostOfLine, std::norm(beat_.values[bin]))) / lines;
  }
  const double between = std::max(0.0, power_between(hz) - 1.0) * lines / power;
  if (least > 0.0 && (power < least * std::max(1.0, of_beat) || between > kMostBetween)) return {};
  double best = 0.0;
  const int phases = kPhasesALine * lines;
  for (int phase = 0; phase < phases; ++phase) {
    const auto turn = std::polar(1.0F, static_cast<float>(kTau * phase / phases));
    Complex at = 1.0F;
    double sum = 0.0;
    for (const Complex& line : std::span(weighed).first(static_cast<std::size_t>(lines))) {
      at *= turn;
      sum += static_cast<double>((line * at).real());
    }
    best = std::max(best, std::abs(sum));
  }
  return {.period_s = 1.0 / hz,
          .lines = lines,
          .strength = best * best / expected,
          .in_phase = best * best / (expected * power),
          .between = between,
          .of_beat = of_beat};
}

bool is_sure(const LossComb& comb) noexcept {
  const double least = comb.lines > kFew ? kLeastStrength : kLeastStrengthOfFew;
  return comb.lines > 0 && comb.strength >= least * std::max(1.0, comb.of_beat) &&
         comb.in_phase >= kLeastInPhase + 1.0 / comb.lines && comb.between <= kMostBetween;
}

// Each that scores more than those a little off.
std::optional<LossComb> LossCombs::sure() const noexcept {
  std::optional<LossComb> best;
  double before = 0.0;
  double score = 0.0;
  for (double hz = kLowest_hz, last_hz = hz; hz < kHighestComb_hz;) {
    const double next = score_of(hz);
    if (score > 0.5 * kLeastStrength && score > before && score >= next) {
      const LossComb comb = at(last_hz, kLeastStrength);
      if (is_sure(comb) && (!best || comb.strength * comb.in_phase > best->strength * best->in_phase)) best = comb;
    }
    before = score;
    score = next;
    last_hz = hz;
    hz += 0.7 * bin_hz_ / lines_of(hz);
  }
  return best;
}

std::optional<LossComb> sure_comb(std::span<const float> reference, std::span<const float> tape,
                                  const DelayPath& path) {
  if (static_cast<double>(tape.size()) < kLeast_s * kSongRate_hz || path.points.size() < 2) return std::nullopt;
  const std::vector<float> along = played(reference, tape.size(), path);
  TapeMovement movement;
  std::vector<TapeMovement::Frame> frames((tape.size() - TapeMovement::kFrame) / TapeMovement::kHop + 1);
  for (std::size_t i = 0; i < frames.size(); ++i)
    frames[i] = movement.next(tape.subspan(i * TapeMovement::kHop), std::span(along).subspan(i * TapeMovement::kHop));
  LossCombs combs(frames.size());
  combs.set(frames);
  return combs.sure();
}

}  // namespace four76
