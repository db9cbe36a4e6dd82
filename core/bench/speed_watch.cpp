#include "core/bench/speed_watch.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {
namespace {

constexpr double kPointRate_hz = 20.0;
constexpr double kLeastSpan_s = 180.0;
constexpr std::size_t kLeastBlocks = 12;
constexpr double kLeastChange_percent = 0.05;

// Weighted least squares of a + b g(t): straight lines in another measure of time.
struct Shape {
  double a = 0.0, b = 0.0, residual = 0.0;  // sum of weighted squares
};

template <typename Course>
Shape fit(std::span<const DriftBlock> blocks, Course&& g) noexcept {
  double weight = 0.0, sum_g = 0.0, sum_y = 0.0;
  for (const DriftBlock& each : blocks) {
    weight += each.points;
    sum_g += each.points * g(each.time_s);
    sum_y += each.points * each.percent;
  }
  const double mean_g = sum_g / weight, mean_y = sum_y / weight;
  double square = 0.0, product = 0.0;
  for (const DriftBlock& each : blocks) {
    square += each.points * (g(each.time_s) - mean_g) * (g(each.time_s) - mean_g);
    product += each.points * (g(each.time_s) - mean_g) * (each.percent - mean_y);
  }
  Shape shape;
  shape.b = square > 0.0 ? product / square : 0.0;
  shape.a = mean_y - shape.b * mean_g;
  for (const DriftBlock& each : blocks) {
    const double left = each.percent - shape.a - shape.b * g(each.time_s);
    shape.residual += each.points / weight * left * left;
  }
  return shape;
}

// One shape with all that is needed to choose and to describe it.
struct Candidate {
  SpeedShape kind = SpeedShape::steady;
  Shape shape;
  int numbers = 1;
  double tau_s = 0.0;
  double at_begin = 0.0, at_end = 0.0;  // of g
};

template <typename Course>
Candidate candidate(SpeedShape kind, int numbers, double tau_s, std::span<const DriftBlock> blocks,
                    Course&& g) noexcept {
  return {kind, fit(blocks, g), numbers, tau_s, g(blocks.front().time_s), g(blocks.back().time_s)};
}

// How many of the blocks count as independent, by how neighbours lie about the best of the shapes.
template <typename Course>
double independent(std::span<const DriftBlock> blocks, const Shape& shape, Course&& g) noexcept {
  double square = 0.0, product = 0.0, before = 0.0;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const double left = blocks[i].percent - shape.a - shape.b * g(blocks[i].time_s);
    square += left * left;
    if (i > 0) product += left * before;
    before = left;
  }
  const double r = square > 0.0 ? std::clamp(product / square, 0.0, 0.95) : 0.0;
  return std::max(3.0, static_cast<double>(blocks.size()) * (1.0 - r) / (1.0 + r));
}

double criterion(const Candidate& each, double points) noexcept {
  constexpr double kLeastSquare = 1e-8;  // 0.0001 %: below it all shapes are perfect
  return points * std::log(std::max(each.shape.residual, kLeastSquare)) + each.numbers * std::log(points);
}

double change(const Candidate& each) noexcept { return each.shape.b * (each.at_end - each.at_begin); }

Candidate best_shape(std::span<const DriftBlock> blocks) noexcept {
  const double begin = blocks.front().time_s, end = blocks.back().time_s, span = end - begin;
  const auto line = candidate(SpeedShape::sagging, 2, 0.0, blocks, [](double t) { return t; });
  std::array<Candidate, 4> all{candidate(SpeedShape::steady, 1, 0.0, blocks, [](double) { return 0.0; }), line, line,
                               line};
  double points = independent(blocks, line.shape, [](double t) { return t; });
  for (double tau = span / 16.0; tau <= 0.7 * span; tau *= 1.25) {
    const auto warm = [=](double t) { return std::exp(-(t - begin) / tau); };
    const auto late = [=](double t) { return std::exp((t - end) / tau); };
    const auto up = candidate(SpeedShape::warming_up, 3, tau, blocks, warm);
    const auto down = candidate(SpeedShape::tape_end, 3, tau, blocks, late);
    if (up.shape.residual < all[2].shape.residual) {
      all[2] = up;
      points = std::max(points, independent(blocks, up.shape, warm));
    }
    if (down.shape.residual < all[3].shape.residual) {
      all[3] = down;
      points = std::max(points, independent(blocks, down.shape, late));
    }
  }
  const Candidate* best = &all[0];
  for (const Candidate& each : all)
    if (std::abs(change(each)) >= kLeastChange_percent && criterion(each, points) < criterion(*best, points))
      best = &each;
  return *best;
}

}  // namespace

std::string_view name_of(SpeedShape shape) noexcept {
  switch (shape) {
    case SpeedShape::too_short: return "too_short";
    case SpeedShape::steady: return "steady";
    case SpeedShape::sagging: return "sagging";
    case SpeedShape::warming_up: return "warming_up";
    case SpeedShape::tape_end: return "tape_end";
  }
  return "too_short";
}

SpeedCourse judge_course(std::span<const DriftBlock> blocks) noexcept {
  SpeedCourse course;
  if (blocks.empty()) return course;
  const auto rest = since_last_jump(blocks);
  if (rest.size() < blocks.size() && !rest.empty()) course.since_jump_s = blocks.back().time_s - rest.front().time_s;
  if (rest.empty()) return course;
  course.span_s = rest.back().time_s - rest.front().time_s;
  if (rest.size() < kLeastBlocks || course.span_s < kLeastSpan_s) return course;
  const Candidate best = best_shape(rest);
  course.shape = best.kind;
  course.change_percent = change(best);
  course.scatter_percent = std::sqrt(best.shape.residual);
  course.end_percent = best.shape.a + best.shape.b * best.at_end;
  if (best.tau_s > 0.0) course.tau_s = best.tau_s;
  if (best.kind == SpeedShape::warming_up) course.still_to_come_percent = -best.shape.b * best.at_end;
  return course;
}

SpeedWatch::SpeedWatch() : record_(DriftRecord::Config{kPointRate_hz, 0}) {}

void SpeedWatch::reset() noexcept { *this = SpeedWatch(); }

void SpeedWatch::end_gap(double at_s) noexcept {
  if (at_s - last_sound_s_ >= kShortestGapS) {
    if (gap_count_ < kMostGaps) gaps_[gap_count_++] = {last_sound_s_, at_s, cause_};
    ++gaps_in_all_;
  }
  cause_ = GapCause::no_tone;
}

void SpeedWatch::add(double now_s, const Reading& dial) noexcept {
  if (!begun_s_) begun_s_ = now_s;
  const double at_s = now_s - *begun_s_;
  if (!(at_s >= passed_s_)) return;  // a clock that was set back
  passed_s_ = std::min(at_s, passed_s_ + kLongestGapS);
  if (at_s > passed_s_) *begun_s_ += at_s - passed_s_;
  const bool sound = dial.status == Status::measured && dial.speed_error_percent.has_value();
  const auto due = static_cast<std::uint64_t>(std::llround(passed_s_ * kPointRate_hz)) + 1;
  while (points_ + 1 < due) {  // what was lost passes as void
    record_.add(0.0, false);
    ++points_;
  }
  record_.add(dial.speed_error_percent.value_or(0.0), sound);
  ++points_;
  if (!sound) return;
  end_gap(passed_s_);
  last_sound_s_ = passed_s_;
}

}  // namespace four76
