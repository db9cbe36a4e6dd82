#include "core/song/song_fit.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/signal/statistics.hpp"
#include "core/song/lead_line.hpp"
#include "core/song/song_wow.hpp"

namespace four76 {
namespace {
constexpr std::size_t kLeastPoints = 20;
constexpr std::size_t kBlocks = 10;
constexpr std::size_t kLeastPitches = 40;
constexpr double kTukey = 6.0;
constexpr std::size_t kBesideEdit = 2;      // points: half a window
constexpr double kFloor_percent = 0.00001;  // numbers are float: a hundredth of a sample over ten seconds

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
// Its window holds some of both sides.
bool is_beside_an_edit(std::span<const DelayPoint> points, std::size_t at) {
  const std::size_t first = at - std::min(at, kBesideEdit);
  const std::size_t last = std::min(points.size() - 1, at + kBesideEdit);
  return points[first].piece != points[at].piece || points[last].piece != points[at].piece;
}
}  // namespace

std::optional<SongFit> fit_song(const DelayPath& path) {
  std::vector<LeadPoint> held;
  for (std::size_t i = 0; i < path.points.size(); ++i) {
    const DelayPoint& point = path.points[i];
    if (point.held && !is_beside_an_edit(path.points, i)) held.push_back({point.tape_s, point.lead_s, point.piece});
  }
  if (held.size() < kLeastPoints) return std::nullopt;
  const LeadLine line = line_through(held);
  SongFit fit;
  fit.speed_error_percent = 100.0 * (path.speed + line.slope - 1.0);
  fit.u95_percent = std::max(kFloor_percent, 100.0 * line.slope_u95);
  const auto first = static_cast<std::size_t>(held.front().piece);
  fit.start_s = line.offset_s[first] - line.slope * line.middle_s[first];
  double squares = 0.0;
  std::size_t counted = 0;
  for (const LeadPoint& point : held) {
    if (point.weight <= 0.0) continue;
    squares += line.residual_s(point) * line.residual_s(point);
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
