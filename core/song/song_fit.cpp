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

// Weighted, one offset a piece, one slope for all; points from `skip_from` to `skip_to` left out.
Line line_through(std::span<const Held> held, std::size_t skip_from = 0, std::size_t skip_to = 0) {
  Line line;
  const auto pieces = static_cast<std::size_t>(held.back().piece) + 1;
  line.middle_s.assign(pieces, 0.0);
  line.offset_s.assign(pieces, 0.0);
  std::vector<double> sum(pieces, 1e-12);
  const auto used = [&](std::size_t i) { return i < skip_from || i >= skip_to; };
  for (std::size_t i = 0; i < held.size(); ++i) {
    if (!used(i)) continue;
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
    if (!used(i)) continue;
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

double jackknife_u95(std::span<const Held> held, double slope) {
  double squares = 0.0;
  for (std::size_t block = 0; block < kBlocks; ++block) {
    const double off =
        line_through(held, block * held.size() / kBlocks, (block + 1) * held.size() / kBlocks).slope - slope;
    squares += off * off;
  }
  const double blocks = static_cast<double>(kBlocks);
  return student_t95(blocks - 1.0) * std::sqrt((blocks - 1.0) / blocks * squares);
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
}  // namespace

std::optional<SongFit> fit_song(const DelayPath& path) {
  std::vector<Held> held;
  for (const DelayPoint& point : path.points)
    if (point.held) held.push_back({point.tape_s, point.lead_s, point.piece, 1.0});
  if (held.size() < kLeastPoints) return std::nullopt;
  const Line line = robust_line(held);
  SongFit fit;
  fit.speed_error_percent = 100.0 * (path.speed + line.slope - 1.0);
  fit.u95_percent = std::max(kFloor_percent, 100.0 * jackknife_u95(held, line.slope));
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
  if (const auto wow = wow_of(path.points)) {
    fit.wow_rms_percent = wow->rms_percent;
    fit.wow_rms_u95_percent = wow->u95_percent;
  }
  return fit;
}

}  // namespace four76
