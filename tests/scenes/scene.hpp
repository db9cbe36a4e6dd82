// Scenes: recordings with a known truth, as nasty as kitchens, phones and old tapes can be.
//
// A scene is made from physics, not from the instrument's own ideas: the tone's phase is integrated from a stated
// speed, then the room, the device and the converter each do their worst. Everything follows from the seed.
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <random>
#include <string>
#include <vector>

#include "core/reading.hpp"
#include "tests/scenes/tape.hpp"

namespace four76::scenes {

using Samples = std::vector<float>;

// The speed of a tone through the scene, one value a millisecond; 0 where the tone is not on the tape.
struct ToneTruth {
  std::vector<float> set_hz;   // without the wow
  std::vector<float> true_hz;  // with it
};

struct Limiter {
  double limit = 1.0;     // of the magnitude
  double softness = 0.0;  // 0: hard; 1: a hyperbolic tangent
  double offset = 0.0;    // a lop-sided stage, of the limit
};

struct GainControl {
  double target_rms = 0.1;
  double attack_s = 0.05;
  double release_s = 1.0;
  double highest_gain = 30.0;
};

class Scene {
 public:
  Scene(std::string name, double sample_rate_hz, double seconds, std::uint64_t seed);

  // Each adds to what is there; in the order of the signal's way.
  // Tape (scene.cpp).
  Scene& tape(const Tape& tape);                                       // adds the tone and its truth
  Scene& dropouts(double per_s, double longest_s, double deepest_db);  // smooth edges, the phase runs on
  Scene& level_steps(int count, double most_db);  // a hand on the volume, within a tenth of a second
  Scene& amplitude_modulation(double rate_hz, double depth);
  Scene& hiss(double rms, double from_s, double to_s);

  // Surroundings (surroundings.cpp, room.cpp).
  Scene& noise(double carrier_to_noise_dbhz, double amplitude);  // white; of the carrier with that amplitude
  Scene& pink_noise(double rms);
  Scene& hum(double mains_hz, double fundamental, double slope, int harmonics);  // amplitude fundamental / n^slope
  Scene& fan(double rms, double hump_hz);
  Scene& steady_tone(double hz, double amplitude, double from_s = 0.0, double to_s = 1e9);
  Scene& glide(double from_hz, double to_hz, double amplitude, double from_s, double to_s);
  Scene& singer(double hz, double amplitude, double from_s, double to_s);  // harmonics with vibrato
  Scene& bird(double amplitude);
  Scene& taps(double amplitude);  // of a finger on the table: short ringing blows, that high at most
  Scene& rumble(double rms);      // lorries, wind, hands on the case: below 80 Hz
  Scene& wandering_tone(double hz, double by_hz, double amplitude);
  Scene& beeps(double hz, double amplitude);
  Scene& speech(double rms, double from_s, double to_s);  // recorded voices
  Scene& music(double rms, double from_s, double to_s);   // struck and held notes with harmonics, a beat
  Scene& coming_and_going(Scene& (Scene::*sound)(double, double, double), double rms);
  Scene& echo(double delay_s, double gain);
  Scene& room(double rt60_s, double direct_to_reverberant_db, double damping);

  // Device (device.cpp, spectral_suppressor.cpp).
  Scene& gain_control(const GainControl& control);
  Scene& noise_suppressor(double after_s, double fade_s, double floor_db);  // a steady tone fades out
  Scene& spectral_suppressor(double learn_s, double floor_db);              // gates bands that are steady
  Scene& gate(double rate_hz, double depth_db);                             // level pumped periodically
  Scene& limit(const Limiter& limiter, double then_gain);
  Scene& insert_zeros(int count, std::size_t shortest, std::size_t longest);    // under-runs
  Scene& delete_samples(int count, std::size_t shortest, std::size_t longest);  // over-runs
  Scene& blank_samples(int count, std::size_t shortest, std::size_t longest);   // zeros in their place
  Scene& conceal_losses(int count, std::size_t shortest, std::size_t longest);  // lost, and faded over
  Scene& slip(double period_s, std::size_t length);                             // lost again and again
  Scene& pad(double before_s, double after_s);                                  // exact zeros
  Scene& repeat_blocks(int count, std::size_t length);                          // a buffer played twice
  Scene& low_pass(double corner_hz);
  Scene& mu_law();
  Scene& quantize(int bits);

  // What a good instrument may answer.
  Scene& must_measure() { return demanding(Demand::measure); }
  Scene& may_withhold(std::vector<Reason> because) { return demanding(Demand::either).named(std::move(because)); }
  Scene& must_withhold(std::vector<Reason> because) { return demanding(Demand::withhold).named(std::move(because)); }
  Scene& named(std::vector<Reason> because) {
    reasons = std::move(because);
    first_reasons = reasons;
    return *this;
  }
  Scene& always_named() {
    name_always = true;
    return *this;
  }
  // The other channel: what is there so far, from here on with noise of its own.
  [[nodiscard]] Scene fork();

  enum class Demand { measure, either, withhold };
  std::string name;
  std::string group;  // its class
  std::string kind;   // of class
  double nominal_hz = 3000.0;
  double sample_rate_hz;
  bool live = false;        // from a microphone, not from a file
  bool other_tape = false;  // carries another tone than was asked for; else whoever measures is sure of it when asked
  Samples samples;
  std::shared_ptr<Scene> right;  // of two channels; its samples and demands

  Demand demand = Demand::measure;
  std::vector<Reason> reasons;        // any of them names the trouble rightly; empty: nothing need be named
  std::vector<Reason> first_reasons;  // any of them may stand first
  bool name_always = false;           // even where the number is as good as ever

  // The true mean frequency while the tone asked for was on the tape, and the same without wow; 0: no such tone.
  double true_mean_hz = 0.0;
  double set_hz = 0.0;
  std::vector<ToneTruth> tones;  // of every tone on the tape

  [[nodiscard]] double seconds() const { return static_cast<double>(samples.size()) / sample_rate_hz; }
  double uniform(double a, double b) { return std::uniform_real_distribution<double>(a, b)(random_); }
  double log_uniform(double a, double b) { return std::exp(uniform(std::log(a), std::log(b))); }

 private:
  Scene& demanding(Demand d) {
    demand = d;
    return *this;
  }
  [[nodiscard]] std::size_t index(double s) const;
  double gaussian() { return normal_(random_); }
  std::size_t random_length(std::size_t shortest, std::size_t longest);
  std::ptrdiff_t random_place(std::size_t length);
  void lengthen_truth(std::size_t at, std::size_t length);
  void shorten_truth(std::size_t at, std::size_t length);
  void add_partial(std::vector<double>& to, std::size_t first, std::size_t last, double hz, double amplitude,
                   double decay_per_s);
  void struck_note(std::vector<double>& to, double at_s);
  void held_note(std::vector<double>& to, double at_s);
  void drum(std::vector<double>& to, double at_s);
  void mix(const std::vector<double>& made, std::size_t first, double rms);

  std::mt19937_64 random_;
  std::normal_distribution<double> normal_;
};

inline double from_db(double db) { return std::pow(10.0, db / 20.0); }

}  // namespace four76::scenes
