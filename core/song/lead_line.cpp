#include "core/song/lead_line.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <span>
#include <utility>

#include "core/signal/statistics.hpp"

namespace four76 {
namespace {
constexpr double kTukey = 6.0;
constexpr int kMostSteps = 4;
constexpr std::size_t kSecond = 10;                  // of points
constexpr std::size_t kStepHop = 5;                  // half a second
constexpr double kStepStandsOut = 4.0;               // deviations: the highest of some forty
constexpr double kLeastStep_s = 0.0003;              // a note's period
constexpr double kLeastJump = 0.7, kMostJump = 1.5;  // of the step, within half a second: wow goes there by and by
constexpr double kLeastFree = 0.05;                  // of the step, beside the line
constexpr double kLeastLeft = 1e-6;                  // of a polynomial: rounding
// P_9 looks at 4.5 turns over the tape: 0.15 Hz in 30 s, below any wow that comes again and again. With eight degrees
// of freedom Student's t is 2.31, hardly more than the 1.96 of very many.
constexpr std::size_t kOrders = 8;

void fit(std::span<const LeadPoint> points, LeadLine& line) {
  const auto pieces = static_cast<std::size_t>(points.back().piece) + 1;
  line.middle_s.assign(pieces, 0.0);
  line.offset_s.assign(pieces, 0.0);
  std::vector<double> sum(pieces, 1e-12);
  for (const LeadPoint& point : points) {
    const auto p = static_cast<std::size_t>(point.piece);
    sum[p] += point.weight;
    line.middle_s[p] += point.weight * point.tape_s;
    line.offset_s[p] += point.weight * point.lead_s;
  }
  for (std::size_t p = 0; p < pieces; ++p) {
    line.middle_s[p] /= sum[p];
    line.offset_s[p] /= sum[p];
  }
  double xx = 1e-12;
  double xy = 0.0;
  for (const LeadPoint& point : points) {
    const auto p = static_cast<std::size_t>(point.piece);
    const double x = point.tape_s - line.middle_s[p];
    xx += point.weight * x * x;
    xy += point.weight * x * (point.lead_s - line.offset_s[p]);
  }
  line.slope = xy / xx;
}

void fit_robustly(std::vector<LeadPoint>& points, LeadLine& line) {
  fit(points, line);
  std::vector<double> sizes(points.size());
  for (int round = 0; round < 10; ++round) {
    for (std::size_t i = 0; i < points.size(); ++i) sizes[i] = std::abs(line.residual_s(points[i]));
    const double scale = kTukey * std::max(1e-6, median_of(sizes)) / 0.6745;
    for (LeadPoint& point : points) {
      const double u = line.residual_s(point) / scale;
      const double free = std::max(0.0, 1.0 - u * u);
      point.weight = free * free;
      point.yields = free * (1.0 - 5.0 * u * u);
    }
    const double before = line.slope;
    fit(points, line);
    if (std::abs(line.slope - before) < 1e-10) break;
  }
}

// A step at one of the points, in its piece, fitted together with the line.
struct Step {
  std::size_t at = 0;
  int piece = 0;
  double share = 0.0;  // of the piece's weights that lies behind it
  double size_s = 0.0;
  double tilt = 0.0;  // what the line's slope changes by beside it
  double free = 0.0;  // weighted square of its shape that the line does not hold

  [[nodiscard]] double shape(std::size_t i, const LeadPoint& point) const noexcept {
    return point.piece == piece ? (i >= at ? 1.0 : 0.0) - share : 0.0;
  }
};

double from_middle_s(const LeadPoint& point, const LeadLine& line) noexcept {
  return point.tape_s - line.middle_s[static_cast<std::size_t>(point.piece)];
}

// Nothing where the line holds nearly all of it.
std::optional<Step> step_at(std::span<const LeadPoint> points, const LeadLine& line, std::size_t at) {
  Step step{.at = at, .piece = points[at].piece};
  double weights = 1e-12, after = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (points[i].piece != step.piece) continue;
    weights += points[i].weight;
    after += i >= at ? points[i].weight : 0.0;
  }
  step.share = after / weights;
  double xx = 1e-12, xs = 0.0, ss = 1e-12, sr = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double x = from_middle_s(points[i], line), s = step.shape(i, points[i]);
    xx += points[i].weight * x * x;
    xs += points[i].weight * x * s;
    ss += points[i].weight * s * s;
    sr += points[i].weight * s * line.residual_s(points[i]);
  }
  step.free = ss - xs * xs / xx;
  if (step.free < kLeastFree * ss) return std::nullopt;
  step.size_s = sr / step.free;
  step.tilt = -step.size_s * xs / xx;
  return step;
}

// In deviations. Neighbours share their windows and the wow: seconds are set against each other.
double height_of(const Step& step, std::span<const LeadPoint> points, const LeadLine& line) {
  double squares = 0.0;
  std::size_t seconds = 0;
  for (std::size_t from = 0; from + kSecond <= points.size(); from += kSecond, ++seconds) {
    double sum = 0.0, counted = 1e-12;
    for (std::size_t i = from; i < from + kSecond; ++i) {
      const double left_s = line.residual_s(points[i]) - step.tilt * from_middle_s(points[i], line) -
                            step.size_s * step.shape(i, points[i]);
      sum += points[i].weight * left_s;
      counted += points[i].weight;
    }
    squares += sum / counted * (sum / counted);
  }
  const double variance = squares / static_cast<double>(seconds) * static_cast<double>(kSecond) / step.free;
  return std::abs(step.size_s) / std::sqrt(variance + 1e-18);
}

// The step that stands out most; nothing where none does.
std::optional<Step> step_in(std::span<const LeadPoint> points, const LeadLine& line) {
  double most = kStepStandsOut;
  std::optional<Step> found;
  for (std::size_t at = kSecond; at + kSecond < points.size(); at += kStepHop) {
    const auto step = step_at(points, line, at);
    if (!step || std::abs(step->size_s) < kLeastStep_s) continue;
    const double height = height_of(*step, points, line);
    if (height > most) most = height, found = step;
  }
  return found;
}

// Where within a second of it, and whether at all, the leads go most of that way at once.
std::optional<std::size_t> jump_of(const Step& step, std::span<const LeadPoint> points, const LeadLine& line) {
  const auto mean_s = [&](std::size_t from) {
    double sum = 0.0;
    for (std::size_t i = from; i < from + kStepHop; ++i) sum += line.residual_s(points[i]) / kStepHop;
    return sum;
  };
  double best = kLeastJump;
  std::optional<std::size_t> found;
  const std::size_t last = std::min(step.at + kStepHop, points.size() - kStepHop - 1);
  for (std::size_t at = step.at - kStepHop; at <= last; ++at) {
    const double share = (mean_s(at) - mean_s(at - kStepHop)) / step.size_s;
    const bool one_piece = points[at - kStepHop].piece == step.piece && points[at + kStepHop].piece == step.piece;
    if (one_piece && share > best && share < kMostJump) best = share, found = at;
  }
  return found;
}

// What is left of the polynomials once the pieces' offsets and all before are taken out of them, under the weights.
class Shapes {
 public:
  explicit Shapes(std::span<const LeadPoint> points) : points_(points) {}

  // By its values at the points. False where nothing is left of it.
  bool add(std::vector<double> shape) {
    const double before = product(shape, shape);
    take_offsets(shape);
    for (int twice = 0; twice < 2; ++twice)  // once leaves what rounding does
      for (const auto& other : shapes_) {
        const double share = product(shape, other);
        for (std::size_t i = 0; i < shape.size(); ++i) shape[i] -= share * other[i];
      }
    const double left = product(shape, shape);
    if (left < kLeastLeft * before) return false;
    for (double& value : shape) value /= std::sqrt(left);
    shapes_.push_back(std::move(shape));
    return true;
  }
  // What `values` hold of the last one.
  [[nodiscard]] double along_last(std::span<const double> values) const { return product(values, shapes_.back()); }

 private:
  [[nodiscard]] double product(std::span<const double> a, std::span<const double> b) const {
    double sum = 0.0;
    for (std::size_t i = 0; i < points_.size(); ++i) sum += points_[i].weight * a[i] * b[i];
    return sum;
  }
  void take_offsets(std::span<double> shape) const {
    for (std::size_t from = 0, to = 0; from < shape.size(); from = to) {
      double sum = 0.0, weights = 1e-12;
      for (to = from; to < shape.size() && points_[to].piece == points_[from].piece; ++to) {
        sum += points_[to].weight * shape[to];
        weights += points_[to].weight;
      }
      for (std::size_t i = from; i < to; ++i) shape[i] -= sum / weights;
    }
  }
  std::span<const LeadPoint> points_;
  std::vector<std::vector<double>> shapes_;
};

double u95_of_slope(std::span<const LeadPoint> points, const LeadLine& line) {
  std::vector<double> x(points.size()), left_s(points.size());
  const double first_s = points.front().tape_s;
  const double span_s = std::max(1e-9, points.back().tape_s - first_s);
  double xx = 1e-12, moves = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    x[i] = 2.0 * (points[i].tape_s - first_s) / span_s - 1.0;
    left_s[i] = line.residual_s(points[i]);
    const double square = from_middle_s(points[i], line) * from_middle_s(points[i], line);
    xx += points[i].weight * square;
    moves += points[i].yields * square;
  }
  if (moves < 0.5 * xx) moves = 0.5 * xx;  // hardly a point is near the line
  Shapes shapes(points);
  if (!shapes.add(x)) return 1.0;
  double squares = 0.0, count = 0.0;
  std::vector<double> before(points.size(), 1.0), here = x;
  for (std::size_t n = 2; n < kOrders + 2; ++n) {
    const auto order = static_cast<double>(n);  // n P_n = (2n - 1) x P_{n-1} - (n - 1) P_{n-2}
    std::vector<double> next(points.size());
    for (std::size_t i = 0; i < points.size(); ++i)
      next[i] = ((2.0 * order - 1.0) * x[i] * here[i] - (order - 1.0) * before[i]) / order;
    before = std::exchange(here, std::move(next));
    if (!shapes.add(here)) continue;
    const double along = shapes.along_last(left_s);
    squares += along * along;
    count += 1.0;
  }
  return count < 1.0 ? 1.0 : student_t95(count) * std::sqrt(squares / count * xx) / moves;
}
}  // namespace

double LeadLine::residual_s(const LeadPoint& point) const noexcept {
  const auto p = static_cast<std::size_t>(point.piece);
  return point.lead_s - offset_s[p] - slope * (point.tape_s - middle_s[p]);
}

LeadLine line_through(std::vector<LeadPoint>& points) {
  LeadLine line;
  fit_robustly(points, line);
  double tilt = 0.0;
  for (int steps = 0; steps < kMostSteps; ++steps) {
    const auto step = step_in(points, line);
    const auto jump = step ? jump_of(*step, points, line) : std::nullopt;
    tilt = step && !jump ? std::abs(step->tilt) : 0.0;
    if (!jump) break;
    for (std::size_t i = *jump; i < points.size(); ++i) ++points[i].piece;
    fit_robustly(points, line);
  }
  line.slope_u95 = u95_of_slope(points, line) + tilt;
  return line;
}

}  // namespace four76
