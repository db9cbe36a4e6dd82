#include "core/song/song_print.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "core/signal/spectrum.hpp"
#include "core/song/rate_changer.hpp"

namespace four76 {
namespace {
constexpr std::size_t kSize = 2048;     // 171 ms: tells semitones apart, and beats
constexpr std::size_t kFineStep = 256;  // between spectra; words take the nearest, at most 11 ms off
constexpr std::size_t kBins = 700;      // up to 4100 Hz: the highest band at +10 %
constexpr std::size_t kBands = 64;
constexpr double kLowest_hz = 300.0;
constexpr double kHighest_hz = 3600.0;
constexpr std::ptrdiff_t kMeanReach = 24;  // words to either side: one second

using Levels = std::array<float, kBands>;

// Logarithmic levels of the bands, less the mean of the two neighbours to either side.
Levels contrast_of(std::span<const float> power, double speed) {
  std::array<float, kBands + 4> level{};
  const double bin_hz = kSongRate_hz / static_cast<double>(kSize);
  const double ratio = std::pow(kHighest_hz / kLowest_hz, 1.0 / static_cast<double>(kBands));
  double edge = kLowest_hz * speed / bin_hz / (ratio * ratio);
  for (float& band : level) {
    const double next = edge * ratio;
    double sum = 1e-12;
    for (auto bin = static_cast<std::size_t>(edge); static_cast<double>(bin) < next && bin < power.size(); ++bin) {
      const double from = std::max(edge, static_cast<double>(bin));
      const double to = std::min(next, static_cast<double>(bin + 1));
      sum += (to - from) * static_cast<double>(power[bin]);
    }
    band = static_cast<float>(std::log(sum));
    edge = next;
  }
  Levels contrast{};
  for (std::size_t b = 0; b < kBands; ++b)
    contrast[b] = level[b + 2] - 0.25F * (level[b] + level[b + 1] + level[b + 3] + level[b + 4]);
  return contrast;
}

// Whether each band stands above its own mean over the time about it.
void words_of(std::span<const Levels> levels, std::span<std::uint64_t> words) noexcept {
  const auto count = static_cast<std::ptrdiff_t>(levels.size());
  Levels sum{};
  std::ptrdiff_t from = 0;
  std::ptrdiff_t to = 0;  // the sum's reach, one behind
  for (std::ptrdiff_t i = 0; i < count; ++i) {
    for (; to < std::min(count, i + kMeanReach + 1); ++to)
      for (std::size_t b = 0; b < kBands; ++b) sum[b] += levels[static_cast<std::size_t>(to)][b];
    for (; from < i - kMeanReach; ++from)
      for (std::size_t b = 0; b < kBands; ++b) sum[b] -= levels[static_cast<std::size_t>(from)][b];
    const auto n = static_cast<float>(to - from);
    std::uint64_t word = 0;
    for (std::size_t b = 0; b < kBands; ++b)
      word |= static_cast<std::uint64_t>(n * levels[static_cast<std::size_t>(i)][b] > sum[b]) << b;
    words[static_cast<std::size_t>(i)] = word;
  }
}
}  // namespace

SongSpectra::SongSpectra(std::size_t most_samples) : fft_(kSize), window_(hann_window(kSize)), frame_(kSize) {
  const std::size_t most_frames = most_samples < kSize ? 0 : (most_samples - kSize) / kFineStep + 1;
  power_.resize(most_frames * kBins);
  levels_.resize(most_frames);  // at least as many as words, whose step is more than a spectrum's up to twice the speed
  words_.resize(most_frames);
}

SongSpectra::SongSpectra(std::span<const float> samples) : SongSpectra(samples.size()) {
  advance(samples, samples.size());
}

bool SongSpectra::advance(std::span<const float> samples, std::size_t most) noexcept {
  const std::size_t all =
      std::min(levels_.size(), samples.size() < kSize ? 0 : (samples.size() - kSize) / kFineStep + 1);
  for (; frames_ < all && most > 0; ++frames_, --most) {
    for (std::size_t n = 0; n < kSize; ++n) frame_[n] = samples[frames_ * kFineStep + n] * window_[n];
    const auto bins = fft_.transform(frame_);
    for (std::size_t k = 0; k < kBins; ++k) power_[frames_ * kBins + k] = std::norm(bins[k]);
  }
  return frames_ == all;
}

std::span<const std::uint64_t> SongSpectra::words(double speed) noexcept {
  const double fine = kPrintStep_s * kSongRate_hz / static_cast<double>(kFineStep) / speed;
  std::size_t count = 0;
  for (; count < levels_.size(); ++count) {
    const auto frame = static_cast<std::size_t>(std::lround(static_cast<double>(count) * fine));
    if (frame >= frames_) break;
    levels_[count] = contrast_of(std::span(power_).subspan(frame * kBins, kBins), speed);
  }
  const auto words = std::span(words_).first(count);
  words_of(std::span(levels_).first(count), words);
  return words;
}

namespace {

// Without an instruction for it the library's own count is a call and a table; this is neither (Warren, Hacker's
// Delight, 5-1, from memory).
std::size_t bits_set(std::uint64_t word) noexcept {
#if defined(__wasm__) || defined(__POPCNT__)
  return static_cast<std::size_t>(std::popcount(word));
#else
  word -= (word >> 1u) & 0x5555555555555555u;
  word = (word & 0x3333333333333333u) + ((word >> 2u) & 0x3333333333333333u);
  word = (word + (word >> 4u)) & 0x0f0f0f0f0f0f0f0fu;
  return static_cast<std::size_t>((word * 0x0101010101010101u) >> 56u);
#endif
}

}  // namespace

double agreement(std::span<const std::uint64_t> a, std::span<const std::uint64_t> b, std::size_t stride) noexcept {
  const std::size_t count = std::min(a.size(), b.size());
  std::size_t differ = 0;
  std::size_t used = 0;
  for (std::size_t i = 0; i < count; i += stride, ++used) differ += bits_set(a[i] ^ b[i]);
  if (used == 0) return 0.5;
  return 1.0 - static_cast<double>(differ) / (64.0 * static_cast<double>(used));
}

}  // namespace four76
