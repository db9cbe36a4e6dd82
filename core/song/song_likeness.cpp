#include "core/song/song_likeness.hpp"

#include <algorithm>
#include <cmath>

#include "core/song/phase_correlator.hpp"

namespace four76 {
namespace {
constexpr double kBin_hz = kSongRate_hz / static_cast<double>(PhaseCorrelator::kSize);
constexpr double kLowest_hz = 200.0;      // to 4000 Hz; three bins a band and more
constexpr double kBandRatio = 1.0479211;  // the 64th root of 20
constexpr float kFloor = 1e-5F;           // of the mean power of a bin: below, nothing is heard in a room
constexpr float kMostOff = 3.0F;          // 13 dB: a drum is not all there is
constexpr std::size_t kLeastFrames = 7;   // to tell by, as SongLock
constexpr std::size_t kBriefFrames = 12;
constexpr double kMean = 0.01;  // the mean follows in five seconds
constexpr double kUsual = 0.01;
// Of what is usual, as in noise all of it is less. Seen in twelve manners of music, 18 dB over the hiss: on the right
// trail 0.74 of the usual and more, over 0.6 s once 0.45; on a wrong one up to half of it.
constexpr double kAlike = 0.6;
constexpr double kAsUsual = 0.75;  // what was let go, or is found anew, must be: chords of other songs reach 0.6
constexpr double kSeemsAlike = 0.45;
constexpr double kLeastAlike = 0.1;

// The first bin of each band, two bands beside the lowest and the highest, and the end.
template <std::size_t Bands>
constexpr std::array<std::size_t, Bands + 1> band_edges() noexcept {
  std::array<std::size_t, Bands + 1> edges{};
  double edge = kLowest_hz / kBin_hz / (kBandRatio * kBandRatio);
  for (std::size_t& at : edges) {
    at = static_cast<std::size_t>(edge);
    if (edge - static_cast<double>(at) >= 0.5) ++at;
    edge *= kBandRatio;
  }
  return edges;
}
}  // namespace

SongLikeness::Levels SongLikeness::levels_of(std::span<const std::complex<float>> bins) noexcept {
  static constexpr auto edges = band_edges<kBands + 4>();
  std::array<float, kBands + 4> level{};
  float all = 0.0F;
  for (std::size_t b = 0; b < level.size(); ++b) {
    for (std::size_t k = edges[b]; k < edges[b + 1]; ++k) level[b] += std::norm(bins[k]);
    all += level[b];
  }
  const float floor = kFloor * all / static_cast<float>(edges.back() - edges.front()) + 1e-20F;
  for (std::size_t b = 0; b < level.size(); ++b)
    level[b] = std::log(level[b] + floor * static_cast<float>(edges[b + 1] - edges[b]));
  Levels contrast{};
  for (std::size_t b = 0; b < kBands; ++b)
    contrast[b] = level[b + 2] - 0.25F * (level[b] + level[b + 1] + level[b + 3] + level[b + 4]);
  return contrast;
}

void SongLikeness::hear(std::span<const std::complex<float>> tape, std::span<const std::complex<float>> reference,
                        std::size_t turns) noexcept {
  const Levels of_tape = levels_of(tape);
  const Levels of_reference = levels_of(reference);
  heard_ += turns;
  const auto share = static_cast<float>(std::max(kMean, static_cast<double>(turns) / static_cast<double>(heard_)));
  Products& sum = frames_[next_];
  sum = {};
  for (std::size_t b = 0; b < kBands; ++b) {
    tape_mean_[b] += share * (of_tape[b] - tape_mean_[b]);
    reference_mean_[b] += share * (of_reference[b] - reference_mean_[b]);
    const auto one = static_cast<double>(std::clamp(of_tape[b] - tape_mean_[b], -kMostOff, kMostOff));
    const auto other = static_cast<double>(std::clamp(of_reference[b] - reference_mean_[b], -kMostOff, kMostOff));
    sum.both += one * other;
    sum.tape += one * one;
    sum.reference += other * other;
  }
  next_ = (next_ + 1) % kFrames;
  count_ = std::min(count_ + 1, kFrames);
  judge();
}

double SongLikeness::likeness(std::size_t frames) const noexcept {
  Products sum;
  for (std::size_t back = 1; back <= std::min(frames, count_); ++back) {
    const Products& frame = frames_[(next_ + kFrames - back) % kFrames];
    sum.both += frame.both;
    sum.tape += frame.tape;
    sum.reference += frame.reference;
  }
  return sum.both / std::sqrt(sum.tape * sum.reference + 1e-12);
}

void SongLikeness::judge() noexcept {
  if (count_ < kLeastFrames) return;
  const double lasting = likeness(kFrames);
  if (usual_ <= 0.0) usual_ = lasting;
  is_alike_ = lasting > std::max(kLeastAlike, (is_alike_ ? kAlike : kAsUsual) * usual_);
  seems_alike_ = likeness(kBriefFrames) > std::max(kLeastAlike, kSeemsAlike * usual_);
  if (is_alike_) usual_ += kUsual * (lasting - usual_);
}

bool SongLikeness::is_as_usual(const SongLikeness& on_other) const noexcept {
  return count_ >= kLeastFrames && likeness(kFrames) > std::max(kLeastAlike, kAsUsual * on_other.usual_);
}

}  // namespace four76
