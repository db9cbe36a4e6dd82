// PhaseKnot: some 10 ms of the track, summed coherently.
//
// A knot is the complex mean of some ten track points: 10 dB more of carrier to noise than a point has, so that its
// phase is in the linear range wherever the loop holds, and a straight line through knots is as good as one through
// points. A segment is a run of knots with unbroken phase; a void knot (lost samples, dropout, burst of noise) has no
// weight.
#pragma once

#include <cstdint>

namespace four76 {

struct PhaseKnot {
  double time_s = 0.0;        // of the middle
  double span_s = 0.0;        // how much time it stands for
  double phase_cycles = 0.0;  // unwrapped within a segment
  float amplitude = 0.0F;     // coherent mean, linear peak
  float scatter = 0.0F;       // in-phase variance of one point over amplitude squared
  std::uint32_t segment = 0;
  float turn_cycles = 0.0F;  // of a fade that ended here: see FadeTurns
  bool valid = true;
  bool level_valid = true;  // its level can be read, however weak it is
  bool broken = false;      // the points show a break of the phase in this knot or the one before
};

}  // namespace four76
