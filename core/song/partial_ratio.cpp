#include "core/song/partial_ratio.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/song/phase_correlator.hpp"

namespace four76 {
namespace {
constexpr std::size_t kBins = PhaseCorrelator::kSize / 2 + 1;
constexpr std::size_t kLowestBin = 51;     // 150 Hz: below, rumble and hum
constexpr std::size_t kHighestBin = 1877;  // 5500 Hz
constexpr float kLeastLevel = 0.003F;      // of the strongest: -50 dB, what a tape's hiss leaves
constexpr double kStandsOut = 3.0;         // over the mean of the bins beside it: hiss hardly does
constexpr std::size_t kLobe = 2;           // bins to either side that a partial fills under Hann's window
constexpr std::size_t kBeside = 10;
constexpr double kPairs = 0.07;  // ratios that are looked at: a semitone is seen, and is another note
constexpr double kCell = 0.0005;
constexpr auto kCells = static_cast<int>(kPairs / kCell);  // to either side
// A partial is read to a twentieth of a bin in a room; wow within the window spreads all alike.
constexpr double kBinSigma = 0.05;
constexpr double kWowSigma = 0.0003;
constexpr double kWidth = 2.0;        // sigmas that a vote is wide
constexpr double kElsewhere = 0.003;  // another ratio
constexpr double kClear = 1.5;        // the best over the best elsewhere
constexpr int kRounds = 3;
}  // namespace

PartialRatio::PartialRatio() : magnitudes_(kBins), sums_(kBins + 1), votes_(2 * kCells + 1) {
  pairs_.reserve(kMostPartials * kMostPartials);
}

std::size_t PartialRatio::find_partials(std::span<const std::complex<float>> bins,
                                        std::span<Partial> partials) noexcept {
  float strongest = 0.0F;
  for (std::size_t k = 0; k < kBins; ++k) {
    magnitudes_[k] = std::sqrt(std::norm(bins[k]));
    sums_[k + 1] = sums_[k] + static_cast<double>(magnitudes_[k]);
    if (k >= kLowestBin && k < kHighestBin) strongest = std::max(strongest, magnitudes_[k]);
  }
  std::size_t count = 0;
  for (std::size_t k = kLowestBin; k < kHighestBin; ++k) {
    const float here = magnitudes_[k];
    const float before = magnitudes_[k - 1];
    const float after = magnitudes_[k + 1];
    if (here <= before || here < after || here < kLeastLevel * strongest) continue;
    const double beside = (sums_[k + kBeside + 1] - sums_[k + kLobe + 1]) + (sums_[k - kLobe] - sums_[k - kBeside]);
    if (here * 2.0 * (kBeside - kLobe) < kStandsOut * beside) continue;
    const double share = static_cast<double>(std::max(before, after) / here);
    const double offset = (2.0 * share - 1.0) / (share + 1.0);
    const Partial next{static_cast<double>(k) + (after > before ? offset : -offset),
                       static_cast<double>(here / strongest)};
    if (count == partials.size() && partials[count - 1].level > next.level) continue;
    std::size_t at = count < partials.size() ? count++ : count - 1;
    for (; at > 0 && partials[at - 1].level < next.level; --at) partials[at] = partials[at - 1];
    partials[at] = next;
  }
  return count;
}

void PartialRatio::pair_up(std::span<const Partial> tape, std::span<const Partial> reference) noexcept {
  pairs_.clear();
  for (const Partial& one : tape)
    for (const Partial& other : reference) {
      const double off = one.bin / other.bin - 1.0;
      if (std::abs(off) > kPairs) continue;
      // The same partial is about as strong in both.
      const double weight =
          std::sqrt(std::min(one.level, other.level)) / (1.0 + std::abs(std::log(one.level / other.level)));
      pairs_.push_back({off, weight, kWowSigma + kBinSigma / other.bin});
    }
}

void PartialRatio::vote() noexcept {
  std::fill(votes_.begin(), votes_.end(), 0.0);
  for (const Pair& pair : pairs_) {
    const double width = kWidth * pair.sigma;
    const int first = std::max(-kCells, static_cast<int>(std::ceil((pair.off - width) / kCell)));
    const int last = std::min(kCells, static_cast<int>(std::floor((pair.off + width) / kCell)));
    for (int cell = first; cell <= last; ++cell) {
      const double u = (cell * kCell - pair.off) / width;
      votes_[static_cast<std::size_t>(cell + kCells)] += pair.weight * (1.0 - u * u);
    }
  }
}

std::optional<double> PartialRatio::elected() const noexcept {
  const auto best = std::max_element(votes_.begin(), votes_.end());
  const double off = static_cast<double>(best - votes_.begin() - kCells) * kCell;
  for (int cell = -kCells; cell <= kCells; ++cell)
    if (std::abs(cell * kCell - off) > kElsewhere && *best <= kClear * votes_[static_cast<std::size_t>(cell + kCells)])
      return std::nullopt;
  return off;
}

std::optional<SpeedRatio> PartialRatio::of(std::span<const std::complex<float>> tape,
                                           std::span<const std::complex<float>> reference) noexcept {
  std::array<Partial, kMostPartials> of_tape, of_reference;
  const std::size_t tapes = find_partials(tape, of_tape);
  const std::size_t references = find_partials(reference, of_reference);
  pair_up(std::span(of_tape).first(tapes), std::span(of_reference).first(references));
  vote();
  const auto off = elected();
  if (!off) return std::nullopt;
  // The mean of those that agree, each by how well it is read; outliers drop out round by round.
  double mean = *off;
  double scatter = 0.0;
  int agreeing = 0;
  for (int round = 0; round < kRounds; ++round) {
    double sum = 0.0, squares = 0.0, weights = 0.0;
    agreeing = 0;
    for (const Pair& pair : pairs_) {
      const double u = (pair.off - mean) / (kWidth * pair.sigma);
      if (std::abs(u) >= 1.0) continue;
      const double weight = pair.weight / (pair.sigma * pair.sigma) * (1.0 - u * u);
      weights += weight;
      sum += weight * (pair.off - mean);
      squares += weight * (pair.off - mean) * (pair.off - mean);
      ++agreeing;
    }
    if (agreeing < 2) return std::nullopt;
    scatter = std::sqrt(squares / weights);
    mean += sum / weights;
  }
  if (std::abs(mean) > kReach) return std::nullopt;
  return SpeedRatio{1.0 + mean, std::hypot(kWowSigma, scatter)};
}

}  // namespace four76
