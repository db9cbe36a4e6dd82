#include "core/song/loss_comb.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

#include "core/signal/fft.hpp"
#include "core/signal/statistics.hpp"
#include "core/song/rate_changer.hpp"

namespace four76 {
namespace {
using Complex = std::complex<float>;
constexpr double kTau = 2.0 * std::numbers::pi;
constexpr std::size_t kFrame = 128;
constexpr std::size_t kHop = 32;
constexpr double kFrames_hz = kSongRate_hz / kHop;
constexpr std::size_t kFirstBin = 2;  // 190 Hz
constexpr std::size_t kLastBin = 24;  // 2200 Hz: above, a jump of 0.2 ms turns by half a period
constexpr double kLeast_s = 5.0;
constexpr double kClip = 5.0;             // median deviations
constexpr double kLowest_hz = 2.0;        // of the comb
constexpr double kHighest_hz = 145.0;     // of its lines: above, a frame blurs the jump
constexpr double kHighestComb_hz = 48.0;  // three lines and more: blocks of 1024 samples
constexpr int kMostLines = 40;
constexpr std::size_t kBeside = 128;  // bins to either side that tell what chance has
constexpr std::size_t kCandidates = 64;
constexpr int kPhases = 256;
// Honest tapes had 25 at most but for a beat; drums with theirs had 119, out of phase or with half as much between the
// lines, and 39 by three lines. Five samples of 2048 lost had 60 and more, in the median 600 (four76_song_losses).
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

// How fast the delay moves, frame after frame.
std::vector<double> movement(std::span<const float> tape, std::span<const float> reference) {
  RealFft fft(kFrame);
  std::array<float, kFrame> window{}, frame{};
  for (std::size_t i = 0; i < kFrame; ++i)
    window[i] = static_cast<float>(0.5 - 0.5 * std::cos(kTau * (static_cast<double>(i) + 0.5) / kFrame));
  std::vector<Complex> of_tape(kFrame / 2 + 1), of_reference(kFrame / 2 + 1);
  std::array<Complex, kLastBin> cross{}, before{};
  const auto transform = [&](std::span<const float> from, std::vector<Complex>& into) {
    for (std::size_t i = 0; i < kFrame; ++i) frame[i] = window[i] * from[i];
    const auto bins = fft.transform(frame);
    std::copy(bins.begin(), bins.end(), into.begin());
  };
  std::vector<double> tops, bottoms;
  for (std::size_t at = 0; at + kFrame <= tape.size(); at += kHop) {
    transform(tape.subspan(at, kFrame), of_tape);
    transform(reference.subspan(at, kFrame), of_reference);
    double top = 0.0, bottom = 0.0;
    for (std::size_t k = kFirstBin; k < kLastBin; ++k) {
      cross[k] = of_tape[k] * std::conj(of_reference[k]);
      const Complex turned = cross[k] * std::conj(before[k]);
      const auto size = static_cast<double>(std::abs(turned));
      if (size < 1e-20) continue;
      const double omega = kTau * kSongRate_hz / kFrame * static_cast<double>(k);
      const double root = std::sqrt(std::sqrt(size));
      top += root * omega * static_cast<double>(turned.imag()) / size;
      bottom += root * omega * omega;
    }
    before = cross;
    tops.push_back(top);
    bottoms.push_back(bottom);
  }
  // Frames between the notes hold hiss alone and count for less.
  std::vector<double> sorted = bottoms;
  const double usual = 0.5 * median_of(sorted) + 1e-30;
  for (std::size_t i = 0; i < tops.size(); ++i) tops[i] *= kFrames_hz / (bottoms[i] + usual);
  if (!tops.empty()) tops[0] = 0.0;
  return tops;
}

void clip(std::vector<double>& values) {
  std::vector<double> sizes = values;
  const double middle = median_of(sizes);
  sizes.clear();
  for (double& value : values) sizes.push_back(std::abs(value -= middle));
  const double most = kClip * median_of(sizes);
  double mean = 0.0;
  for (double& value : values) mean += (value = std::clamp(value, -most, most)) / static_cast<double>(values.size());
  for (double& value : values) value -= mean;
}

// Lines about the record's middle, in units of chance's amplitude there; and that amplitude.
struct Spectrum {
  std::vector<Complex> lines;
  std::vector<float> chance;
  double bin_hz = 0.0;
};

Spectrum spectrum_of(const std::vector<double>& values) {
  const std::size_t size = std::bit_ceil(2 * values.size());
  std::vector<float> record(size);
  for (std::size_t i = 0; i < values.size(); ++i)
    record[(i + size - values.size() / 2) % size] = static_cast<float>(values[i]);
  Spectrum spectrum{std::vector<Complex>(size / 2 + 1), {}, kFrames_hz / static_cast<double>(size)};
  RealFft fft(size);
  const auto lines = fft.transform(record);
  std::copy(lines.begin(), lines.end(), spectrum.lines.begin());
  std::vector<double> powers;
  for (const Complex& line : spectrum.lines) powers.push_back(static_cast<double>(std::norm(line)));
  spectrum.chance.assign(powers.size(), 1.0F);
  // The median of exponential powers is ln 2 of their mean. Renewed every few bins.
  for (std::size_t k = 0; k < powers.size(); k += kBeside / 4) {
    const std::size_t from = k > kBeside ? k - kBeside : 0;
    const std::size_t to = std::min(powers.size(), k + kBeside);
    std::vector<double> near(powers.begin() + static_cast<std::ptrdiff_t>(from),
                             powers.begin() + static_cast<std::ptrdiff_t>(to));
    const auto chance = static_cast<float>(std::sqrt(median_of(near) / std::numbers::ln2 + 1e-30));
    std::fill(spectrum.chance.begin() + static_cast<std::ptrdiff_t>(k),
              spectrum.chance.begin() + static_cast<std::ptrdiff_t>(std::min(powers.size(), k + kBeside / 4)), chance);
  }
  return spectrum;
}

int lines_of(double comb_hz) noexcept { return std::min(kMostLines, static_cast<int>(kHighest_hz / comb_hz)); }

std::size_t bin_of(const Spectrum& spectrum, double hz) noexcept {
  return static_cast<std::size_t>(std::lround(hz / spectrum.bin_hz));
}

struct Candidate {
  double hz = 0.0;
  double score = 0.0;  // standard deviations above chance
};

std::vector<Candidate> candidates(const Spectrum& spectrum) {
  std::vector<Candidate> best;
  std::vector<float> powers;
  for (std::size_t k = 0; k < spectrum.lines.size(); ++k)
    powers.push_back(std::min(30.0F, std::norm(spectrum.lines[k] / spectrum.chance[k])));  // one line is no comb
  for (double hz = kLowest_hz; hz < kHighestComb_hz;) {
    const int lines = lines_of(hz);
    double sum = 0.0;
    for (int i = 1; i <= lines; ++i) sum += static_cast<double>(powers[bin_of(spectrum, hz * i)]);
    const Candidate next{hz, (sum - lines) / std::sqrt(static_cast<double>(lines))};
    hz += 0.7 * spectrum.bin_hz / lines;
    // The same comb, a little off.
    const auto near = std::find_if(best.begin(), best.end(), [&](const Candidate& other) {
      return (next.hz - other.hz) * lines < 3.0 * spectrum.bin_hz;
    });
    if (near != best.end()) {
      if (near->score >= next.score) continue;
      best.erase(near);
    }
    const auto at = std::find_if(best.begin(), best.end(), [&](const Candidate& c) { return c.score < next.score; });
    if (best.size() < kCandidates || at != best.end()) best.insert(at, next);
    if (best.size() > kCandidates) best.pop_back();
  }
  return best;
}

// The strongest mean power of the lines that a comb of a second to an eighth of that distance has more.
double power_between(const Spectrum& spectrum, double hz) {
  double most = 0.0;
  for (int parts = 2; parts <= kMostParts; ++parts) {
    double sum = 0.0;
    int count = 0;
    for (int i = 1; hz * i / parts <= kHighest_hz && count < kMostLines; ++i) {
      if (i % parts == 0) continue;
      const std::size_t bin = bin_of(spectrum, hz * i / parts);
      sum += static_cast<double>(std::norm(spectrum.lines[bin] / spectrum.chance[bin]));
      ++count;
    }
    most = std::max(most, sum / std::max(1, count));
  }
  return most;
}

LossComb judged(const Spectrum& spectrum, double hz) {
  const int lines = lines_of(hz);
  std::vector<Complex> white;
  double power = 1e-30;
  for (int i = 1; i <= lines; ++i) {
    const std::size_t bin = bin_of(spectrum, hz * i);
    white.push_back(spectrum.lines[bin] / spectrum.chance[bin]);
    power += static_cast<double>(std::norm(white.back()));
  }
  double best = 0.0;
  for (int phase = 0; phase < kPhases; ++phase) {
    const auto turn = std::polar(1.0F, static_cast<float>(kTau * phase / kPhases));
    Complex at = 1.0F;
    double sum = 0.0;
    for (const Complex& line : white) {
      at *= turn;
      sum += static_cast<double>((line * at).real());
    }
    best = std::max(best, std::abs(sum));
  }
  return {.period_s = 1.0 / hz,
          .lines = lines,
          .strength = best * best / lines,
          .in_phase = best * best / (lines * power),
          .between = std::max(0.0, power_between(spectrum, hz) - 1.0) * lines / power};
}
}  // namespace

bool is_sure(const LossComb& comb) noexcept {
  const double least = comb.lines > kFew ? kLeastStrength : kLeastStrengthOfFew;
  return comb.strength >= least && comb.in_phase >= kLeastInPhase + 1.0 / comb.lines && comb.between <= kMostBetween;
}

std::optional<LossComb> likeliest_comb(std::span<const float> reference, std::span<const float> tape,
                                       const DelayPath& path) {
  if (static_cast<double>(tape.size()) < kLeast_s * kSongRate_hz || path.points.size() < 2) return std::nullopt;
  std::vector<double> moves = movement(tape, played(reference, tape.size(), path));
  clip(moves);
  const Spectrum spectrum = spectrum_of(moves);
  LossComb best;
  double most = -1.0;
  for (const Candidate& candidate : candidates(spectrum)) {
    const LossComb comb = judged(spectrum, candidate.hz);
    const double height = comb.strength * comb.in_phase * (is_sure(comb) ? 1e6 : 1.0);
    if (height > most) most = height, best = comb;
  }
  return best;
}

}  // namespace four76
