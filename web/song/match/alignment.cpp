#include "web/song/match/alignment.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "core/signal/statistics.hpp"

namespace four76 {
namespace {

constexpr double kSureZ = 12.0;  // z of a window that nobody could take for chance; 6 is believed alone

// Where each piece's line begins, by the middle of its points.
double begin_of(const DelayPath& path, double speed, int piece) {
  std::vector<double> values;
  for (const DelayPoint& point : path.points)
    if (point.held && point.piece == piece) values.push_back(point.lead_s + (path.speed - speed) * point.tape_s);
  return median_of(values);
}

}  // namespace

AlignmentPicture alignment_of(const SongResult& result) {
  AlignmentPicture picture;
  const DelayPath& path = result.match.path;
  const auto& fit = result.match.fit;
  picture.tape_s = result.used_s;
  picture.has_line = has_speed(result.match);
  const double speed = fit ? 1.0 + fit->speed_error_percent / 100.0 : path.speed;
  picture.slope = speed - 1.0;
  if (picture.has_line) picture.farthest_s = std::fabs(picture.slope) * picture.tape_s;
  double begin_s = 0.0;
  std::optional<DelayPoint> before;
  for (const DelayPoint& point : path.points) {
    AlignmentPoint drawn{point.tape_s, 0.0, std::clamp(point.z / kSureZ, 0.0, 1.0), point.heard, point.held};
    if (point.held) {
      if (!before || before->piece != point.piece) begin_s = begin_of(path, speed, point.piece);
      drawn.ahead_s = point.lead_s + (path.speed - 1.0) * point.tape_s - begin_s;
      picture.farthest_s = std::max(picture.farthest_s, std::fabs(drawn.ahead_s));
      if (before && before->piece != point.piece) picture.cuts_s.push_back(0.5 * (before->tape_s + point.tape_s));
      before = point;
    }
    picture.points.push_back(drawn);
  }
  return picture;
}

}  // namespace four76
