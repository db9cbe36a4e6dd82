// Tape: what the tape and the machine do to the tone's speed, as a curve of one value a millisecond.
//
// Wow is a sum of sinusoids; random wow too (Rice's representation of a Gaussian process), so that the weighted figure
// can be computed from the known weighting curve.
#pragma once

#include <random>
#include <vector>

namespace four76::scenes {

inline constexpr double kCurveRateHz = 1000.0;

struct Sinusoid {
  double rate_hz = 0.0;
  double peak_percent = 0.0;
  double phase = 0.0;  // rad
};

struct Step {
  double at_s = 0.0;
  double percent = 0.0;
};

struct Tape {
  double tone_hz = 3000.0;
  double error_percent = 0.0;
  std::vector<Sinusoid> wow;
  double drift_percent_per_s = 0.0;  // a steady change, symmetrical about the middle of the scene
  double warm_up_percent = 0.0;      // at the start, dying away exponentially
  double warm_up_s = 10.0;           // its time constant
  std::vector<Step> steps;           // turns of the trimmer
  double run_up_s = 0.0;             // the motor's time constant from standstill, at start_s
  double start_s = 0.0;              // the tone is on the tape from here
  double stop_s = 1e9;               // to here
  double amplitude = 0.1;
  std::vector<Sinusoid> level;  // slow random level; its "percent" are dB
  bool asked = true;            // this is the tone that is asked for
};

// A Gaussian process of that RMS as sinusoids: density flat to the corner, then falling by 12 dB an octave.
std::vector<Sinusoid> random_process(double rms, double corner_hz, std::mt19937_64& random);

// Adds a portable's wow of exactly that weighted 2-sigma percent over that time: rotating parts and a random part.
void add_portable_wow(Tape& tape, double weighted_percent, double seconds, std::mt19937_64& random);

// Scales the wow so that its weighted deviation exceeds that percent for 5 % of the time (AES6-2008's 2-sigma).
void scale_to_weighted(std::vector<Sinusoid>& wow, double weighted_percent, double seconds);

// Gain of the weighting of wow and flutter (IEC 60386; shared table from memory, fitted within 0.34 dB), 1 at 4 Hz.
double weighting(double rate_hz);

// Percent of speed error at each millisecond: as set by screw, drift and warm-up, and with the wow on top.
struct SpeedCurve {
  std::vector<double> set, with_wow;
};
SpeedCurve speed_curve(const Tape& tape, double seconds);

// The sum of the sinusoids at each millisecond.
std::vector<double> sum_of(const std::vector<Sinusoid>& sinusoids, double seconds);

}  // namespace four76::scenes
