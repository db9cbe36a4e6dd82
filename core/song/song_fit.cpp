#include "core/song/song_fit.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/signal/statistics.hpp"
#include "core/song/song_wow.hpp"

namespace four76 {
namespace {
constexpr std::size_t kLeastPoints = 20;
constexpr std::size_t kBlocks = 10;
constexpr std::size_t kLongBlocks = 5;  // a slip may last for more than a tenth
constexpr std::size_t kLeastPitches = 40;
constexpr std::size_t kStepApart = 10;   // points: a second
constexpr double kStepStandsOut = 4.0;   // deviations: the highest of some forty
constexpr double kLeastStep_s = 0.0003;  // a note's period
constexpr double kLeastFree = 0.05;      // of the step, beside the line
constexpr double kTukey = 6.0;
constexpr double kFloor_percent = 0.0002;  // numbers are float: a hundredth of a sample over ten seconds

struct Held {
  double tape_s;
  double lead_s;
  int piece;
  double weight;
};

struct Line {
  double slope = 0.0;
  std::vector<double> middle_s, offset_s;  // of each piece
};

// Weighted, one offset a piece, one slope for all.
Line line_through(std::span<const Held> held) {
  Line line;
  const auto pieces = static_cast<std::size_t>(held.back().piece) + 1;
  line.middle_s.assign(pieces, 0.0);
  line.offset_s.assign(pieces, 0.0);
  std::vector<double> sum(pieces, 1e-12);
  for (std::size_t i = 0; i < held.size(); ++i) {
    const auto p = static_cast<std::size_t>(held[i].piece);
    sum[p] += held[i].weight;
    line.middle_s[p] += held[i].weight * held[i].tape_s;
    line.offset_s[p] += held[i].weight * held[i].lead_s;
  }
  for (std::size_t p = 0; p < pieces; ++p) {
    line.middle_s[p] /= sum[p];
    line.offset_s[p] /= sum[p];
  }
  double xx = 1e-12;
  double xy = 0.0;
  for (std::size_t i = 0; i < held.size(); ++i) {
    const auto p = static_cast<std::size_t>(held[i].piece);
    const double x = held[i].tape_s - line.middle_s[p];
    xx += held[i].weight * x * x;
    xy += held[i].weight * x * (held[i].lead_s - line.offset_s[p]);
  }
  line.slope = xy / xx;
  return line;
}

double residual(const Line& line, const Held& held) noexcept {
  const auto p = static_cast<std::size_t>(held.piece);
  return held.lead_s - line.offset_s[p] - line.slope * (held.tape_s - line.middle_s[p]);
}

Line robust_line(std::vector<Held>& held) {
  Line line = line_through(held);
  for (int round = 0; round < 10; ++round) {
    std::vector<double> sizes;
    for (const Held& point : held) sizes.push_back(std::abs(residual(line, point)));
    const double scale = kTukey * std::max(1e-6, median_of(sizes)) / 0.6745;
    for (Held& point : held) {
      const double u = residual(line, point) / scale;
      point.weight = std::abs(u) < 1.0 ? (1.0 - u * u) * (1.0 - u * u) : 0.0;
    }
    const double before = line.slope;
    line = line_through(held);
    if (std::abs(line.slope - before) < 1e-10) break;
  }
  return line;
}

double jackknife_u95(std::span<const Held> held, double slope, std::size_t count) {
  double squares = 0.0;
  for (std::size_t block = 0; block < count; ++block) {
    // With weights of its own: what the whole fit threw out may be what is right.
    std::vector<Held> rest(held.begin(), held.end());
    rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(block * held.size() / count),
               rest.begin() + static_cast<std::ptrdiff_t>((block + 1) * held.size() / count));
    for (Held& point : rest) point.weight = 1.0;
    const double off = robust_line(rest).slope - slope;
    squares += off * off;
  }
  const double blocks = static_cast<double>(count);
  return student_t95(blocks - 1.0) * std::sqrt((blocks - 1.0) / blocks * squares);
}

// The track may have slipped by a note's period and stayed there, which leaving out a tenth does not show. What the
// slope would be beside the one step, anywhere, that stands out most; 0 where none does.
double step_in_slope(std::span<const Held> held, const Line& line) {
  double most = kStepStandsOut;
  double change = 0.0;
  for (std::size_t at = kStepApart; at + kStepApart < held.size(); at += kStepApart) {
    const int piece = held[at].piece;
    double weights = 1e-12, after = 0.0;
    for (std::size_t i = 0; i < held.size(); ++i) {
      if (held[i].piece != piece) continue;
      weights += held[i].weight;
      after += i >= at ? held[i].weight : 0.0;
    }
    const double share = after / weights;
    double xx = 1e-12, xs = 0.0, ss = 1e-12, sr = 0.0;
    for (std::size_t i = 0; i < held.size(); ++i) {
      const double x = held[i].tape_s - line.middle_s[static_cast<std::size_t>(held[i].piece)];
      const double s = held[i].piece != piece ? 0.0 : (i >= at ? 1.0 : 0.0) - share;
      xx += held[i].weight * x * x;
      xs += held[i].weight * x * s;
      ss += held[i].weight * s * s;
      sr += held[i].weight * s * residual(line, held[i]);
    }
    const double free = ss - xs * xs / xx;
    if (free < kLeastFree * ss) continue;
    const double step = sr / free;
    const double tilt = -step * xs / xx;
    // Neighbours share their windows and the wow: seconds are set against each other.
    double squares = 0.0;
    std::size_t blocks = 0;
    for (std::size_t from = 0; from + kStepApart <= held.size(); from += kStepApart, ++blocks) {
      double sum = 0.0, counted = 1e-12;
      for (std::size_t i = from; i < from + kStepApart; ++i) {
        const double x = held[i].tape_s - line.middle_s[static_cast<std::size_t>(held[i].piece)];
        const double s = held[i].piece != piece ? 0.0 : (i >= at ? 1.0 : 0.0) - share;
        sum += held[i].weight * (residual(line, held[i]) - tilt * x - step * s);
        counted += held[i].weight;
      }
      squares += sum / counted * (sum / counted);
    }
    const double variance = squares / static_cast<double>(blocks) * static_cast<double>(kStepApart) / free;
    const double height = std::abs(step) / std::sqrt(variance + 1e-18);
    if (std::abs(step) > kLeastStep_s && height > most) most = height, change = tilt;
  }
  return change;
}

void add_shares(std::span<const DelayPoint> points, SongFit& fit) {
  std::size_t heard = 0;
  std::size_t held = 0;
  double run_from_s = 0.0;
  const DelayPoint* before = nullptr;
  for (const DelayPoint& point : points) {
    heard += point.heard ? 1 : 0;
    if (!point.held) continue;
    ++held;
    if (!before || point.tape_s - before->tape_s > 1.5) run_from_s = point.tape_s;
    if (before && point.piece != before->piece) ++fit.edits;
    fit.longest_s = std::max(fit.longest_s, point.tape_s - run_from_s + DelayTrack::kStep_s);
    before = &point;
  }
  fit.held_s = static_cast<double>(held) * DelayTrack::kStep_s;
  fit.held_share = heard > 0 ? static_cast<double>(held) / static_cast<double>(heard) : 0.0;
}

void add_evidence(std::span<const DelayPoint> points, SongFit& fit) {
  constexpr auto kRun = static_cast<std::size_t>(10.0 / DelayTrack::kStep_s);
  std::vector<double> sums{0.0};
  for (const DelayPoint& point : points)
    if (point.compared) sums.push_back(sums.back() + point.z);
  const std::size_t count = sums.size() - 1;
  if (count == 0) return;
  fit.evidence = sums.back() / static_cast<double>(count);
  for (std::size_t i = kRun; i < sums.size(); ++i)
    fit.best_evidence = std::max(fit.best_evidence, (sums[i] - sums[i - kRun]) / static_cast<double>(kRun));
}

double roughness(std::span<const DelayPoint> points) {
  std::vector<double> sizes;
  for (std::size_t i = 3; i + 3 < points.size(); ++i) {
    const DelayPoint& a = points[i - 3];
    const DelayPoint& b = points[i + 3];
    if (a.held && points[i].held && b.held && a.piece == b.piece)
      sizes.push_back(std::abs(points[i].lead_s - 0.5 * (a.lead_s + b.lead_s)));
  }
  return sizes.empty() ? 1.0 : median_of(sizes);
}

struct Pitch {
  double off;  // of the speed, as a share
  double weight;
};

double mean_pitch(std::span<const Pitch> pitches, double middle, double scale, std::size_t skip_from,
                  std::size_t skip_to) {
  for (int round = 0; round < 10; ++round) {
    double sum = 0.0;
    double weights = 1e-12;
    for (std::size_t i = 0; i < pitches.size(); ++i) {
      if (i >= skip_from && i < skip_to) continue;
      const double u = (pitches[i].off - middle) / scale;
      if (std::abs(u) >= 1.0) continue;
      const double weight = pitches[i].weight * (1.0 - u * u) * (1.0 - u * u);
      sum += weight * (pitches[i].off - middle);
      weights += weight;
    }
    middle += sum / weights;
  }
  return middle;
}

void add_pitch(std::span<const DelayPoint> points, SongFit& fit) {
  const double speed = 1.0 + fit.speed_error_percent / 100.0;
  std::vector<Pitch> pitches;
  std::vector<double> offs;
  for (const DelayPoint& point : points) {
    if (!point.held || point.pitch <= 0.0) continue;
    pitches.push_back({point.pitch / speed - 1.0, 1.0 / (point.pitch_sigma * point.pitch_sigma)});
    offs.push_back(pitches.back().off);
  }
  if (pitches.size() < kLeastPitches) return;
  const double middle = median_of(offs);
  std::vector<double> sizes;
  for (const Pitch& pitch : pitches) sizes.push_back(std::abs(pitch.off - middle));
  const double scale = kTukey * std::max(1e-6, median_of(sizes)) / 0.6745;
  const double mean = mean_pitch(pitches, middle, scale, 0, 0);
  double squares = 0.0;
  for (std::size_t block = 0; block < kBlocks; ++block) {
    const double off =
        mean_pitch(pitches, middle, scale, block * pitches.size() / kBlocks, (block + 1) * pitches.size() / kBlocks) -
        mean;
    squares += off * off;
  }
  const double blocks = static_cast<double>(kBlocks);
  fit.pitch_percent = 100.0 * mean;
  fit.pitch_u95_percent = 100.0 * student_t95(blocks - 1.0) * std::sqrt((blocks - 1.0) / blocks * squares);
}
}  // namespace

std::optional<SongFit> fit_song(const DelayPath& path) {
  std::vector<Held> held;
  for (const DelayPoint& point : path.points)
    if (point.held) held.push_back({point.tape_s, point.lead_s, point.piece, 1.0});
  if (held.size() < kLeastPoints) return std::nullopt;
  const Line line = robust_line(held);
  SongFit fit;
  fit.speed_error_percent = 100.0 * (path.speed + line.slope - 1.0);
  fit.u95_percent = std::max(kFloor_percent, 100.0 * std::max(jackknife_u95(held, line.slope, kBlocks),
                                                              jackknife_u95(held, line.slope, kLongBlocks))) +
                    100.0 * std::abs(step_in_slope(held, line));
  const auto first = static_cast<std::size_t>(held.front().piece);
  fit.start_s = line.offset_s[first] - line.slope * line.middle_s[first];
  double squares = 0.0;
  std::size_t counted = 0;
  for (const Held& point : held) {
    if (point.weight <= 0.0) continue;
    squares += residual(line, point) * residual(line, point);
    ++counted;
  }
  fit.scatter_s = std::sqrt(squares / static_cast<double>(std::max<std::size_t>(1, counted)));
  fit.rough_s = roughness(path.points);
  add_shares(path.points, fit);
  add_evidence(path.points, fit);
  add_pitch(path.points, fit);
  if (const auto wow = wow_of(path.points)) {
    fit.wow_rms_percent = wow->rms_percent;
    fit.wow_rms_u95_percent = wow->u95_percent;
  }
  return fit;
}

}  // namespace four76
