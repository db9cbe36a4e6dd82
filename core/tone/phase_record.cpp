#include "core/tone/phase_record.hpp"

namespace four76 {

namespace {

// One knot for two neighbours. Where they do not share a segment or one is void, the longer-lasting valid one stays.
PhaseKnot merged(const PhaseKnot& a, const PhaseKnot& b) noexcept {
  if (!a.valid || !b.valid || a.segment != b.segment) {
    PhaseKnot kept = (!b.valid || (a.valid && a.span_s >= b.span_s)) ? a : b;
    kept.turn_cycles = a.turn_cycles + b.turn_cycles;
    return kept;
  }
  const double span_s = a.span_s + b.span_s;
  const double wa = a.span_s / span_s;
  const double wb = b.span_s / span_s;
  PhaseKnot both = a;
  both.time_s = wa * a.time_s + wb * b.time_s;
  both.span_s = span_s;
  both.phase_cycles = a.phase_cycles + wb * (b.phase_cycles - a.phase_cycles);
  both.amplitude = static_cast<float>(wa * static_cast<double>(a.amplitude) + wb * static_cast<double>(b.amplitude));
  both.turn_cycles = a.turn_cycles + b.turn_cycles;
  both.scatter = static_cast<float>(wa * static_cast<double>(a.scatter) + wb * static_cast<double>(b.scatter));
  return both;
}

}  // namespace

PhaseRecord::PhaseRecord() : knots_(kCapacity) {}

void PhaseRecord::reset() noexcept {
  size_ = 0;
  merge_ = 1;
  pending_ = 0;
}

void PhaseRecord::add(const PhaseKnot& knot) noexcept {
  accumulator_ = pending_ == 0 ? knot : merged(accumulator_, knot);
  if (++pending_ < merge_) return;
  pending_ = 0;
  if (size_ == kCapacity) merge_pairs();
  knots_[size_++] = accumulator_;
}

void PhaseRecord::merge_pairs() noexcept {
  for (std::size_t i = 0; i < kCapacity / 2; ++i) knots_[i] = merged(knots_[2 * i], knots_[2 * i + 1]);
  size_ = kCapacity / 2;
  merge_ *= 2;
}

}  // namespace four76
