#include "core/song/delay_path.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "core/signal/statistics.hpp"

namespace four76 {
namespace {
constexpr double kEdit_s = 0.006;  // more than wow moves the lead by within some tenths of a second
}  // namespace

double lead_at(const DelayPath& path, double tape_s, int piece) noexcept {
  const auto last = static_cast<std::ptrdiff_t>(path.points.size()) - 1;
  const double at = (tape_s - path.points.front().tape_s) / kDelayStep_s;
  auto low = std::clamp<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(std::floor(at)), 0, last);
  auto high = std::min(low + 1, last);
  const double share = std::clamp(at - static_cast<double>(low), 0.0, 1.0);
  while (low < last && path.points[static_cast<std::size_t>(low)].piece < piece) ++low;
  while (high > 0 && path.points[static_cast<std::size_t>(high)].piece > piece) --high;
  while (high < last && path.points[static_cast<std::size_t>(high)].piece < piece) ++high;
  while (low > 0 && path.points[static_cast<std::size_t>(low)].piece > piece) --low;
  const double a = path.points[static_cast<std::size_t>(low)].lead_s;
  return a + share * (path.points[static_cast<std::size_t>(high)].lead_s - a);
}

void straighten(DelayPath& path) {
  constexpr std::size_t kApart = 25;
  std::vector<double> slopes;
  for (std::size_t i = 0; i + kApart < path.points.size(); ++i) {
    const DelayPoint& a = path.points[i];
    const DelayPoint& b = path.points[i + kApart];
    if (a.held && b.held) slopes.push_back((b.lead_s - a.lead_s) / (b.tape_s - a.tape_s));
  }
  if (slopes.empty()) return;
  const double slope = median_of(slopes);
  path.speed += slope;
  for (DelayPoint& point : path.points) point.lead_s -= slope * point.tape_s;
}

void find_pieces(DelayPath& path) {
  for (std::size_t i = 1; i < path.points.size(); ++i) {
    const bool jumps = std::abs(path.points[i].lead_s - path.points[i - 1].lead_s) > kEdit_s;
    path.points[i].piece = path.points[i - 1].piece + (jumps ? 1 : 0);
  }
}

void smooth(DelayPath& path) {
  std::vector<double> leads;
  for (const DelayPoint& point : path.points) leads.push_back(point.lead_s);
  for (std::size_t i = 1; i + 1 < leads.size(); ++i)
    if (path.points[i - 1].piece == path.points[i + 1].piece)
      path.points[i].lead_s = 0.25 * leads[i - 1] + 0.5 * leads[i] + 0.25 * leads[i + 1];
}

void halve_steps(DelayPath& path, double end_s) {
  std::vector<DelayPoint> dense;
  for (std::size_t i = 0; i < path.points.size(); ++i) {
    dense.push_back(path.points[i]);
    DelayPoint between = path.points[i];
    between.tape_s += kDelayStep_s;
    if (i + 1 < path.points.size() && path.points[i + 1].piece == between.piece)
      between.lead_s = 0.5 * (between.lead_s + path.points[i + 1].lead_s);
    if (between.tape_s < end_s) dense.push_back(between);
  }
  path.points = std::move(dense);
}

}  // namespace four76
