// Scenes: recordings with a known truth, as nasty as kitchens, phones and old tapes can be.
//
// A scene is made from physics, not from the instrument's own ideas: the tone's phase is integrated from a stated
// speed, then the room, the device and the converter each do their worst. Everything follows from the seed.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "core/reading.hpp"

namespace four76::scenes {

using Samples = std::vector<float>;

struct Sinusoid {
  double rate_hz = 0.0;
  double peak_percent = 0.0;
};

// What the tape and the machine do.
struct Tape {
  double tone_hz = 3000.0;
  double error_percent = 0.0;
  std::vector<Sinusoid> wow;
  double random_wow_rms_percent = 0.0;  // Gaussian, low-passed at random_wow_hz
  double random_wow_hz = 2.0;
  double drift_percent_per_s = 0.0;  // a steady change, symmetrical about the middle of the scene
  double step_percent = 0.0;         // at step_s
  double step_s = 0.0;
  double start_s = 0.0;  // the tone is on the tape from here
  double stop_s = 1e9;   // to here
  double amplitude = 0.1;
  double amplitude_flutter_db = 0.0;  // slow random level
};

class Scene {
 public:
  Scene(std::string name, double sample_rate_hz, double seconds, std::uint64_t seed);

  // Each adds to what is there; in the order of the signal's way.
  Scene& tape(const Tape& tape);                                 // adds the tone and sets the truth
  Scene& noise(double carrier_to_noise_dbhz, double amplitude);  // white; of the carrier with that amplitude
  Scene& pink_noise(double rms);
  Scene& hum(double mains_hz, double fundamental, double slope, int harmonics);  // amplitude fundamental / n^slope
  Scene& steady_tone(double hz, double amplitude);
  Scene& speech(double rms, double from_s, double to_s);  // glottal pulses through moving formants, with pauses
  Scene& music(double rms, double from_s, double to_s);   // notes with harmonics, a beat
  Scene& add(const Samples& other, double gain);          // a recording, looped
  Scene& reverb(double rt60_s, double wet);               // decaying random tail
  Scene& dropouts(int count, double length_s, double depth_db);
  Scene& gain_control(double target_rms, double attack_s, double release_s);
  Scene& noise_suppressor(double after_s, double fade_s, double floor_db);  // a steady tone fades out
  Scene& gate(double rate_hz, double depth_db);                             // level pumped periodically
  Scene& clip(double at, double then_gain);                                 // hard limit, then a gain
  Scene& insert_zeros(int count, std::size_t length);                       // under-runs
  Scene& delete_samples(int count, std::size_t length);                     // over-runs
  Scene& quantize(int bits);
  Scene& silence_from(double from_s, double to_s, double residue);

  // What a good instrument may answer.
  Scene& must_measure() { return *this = with(Demand::measure); }
  Scene& may_withhold(std::vector<Reason> because) {
    reasons = std::move(because);
    return *this = with(Demand::either);
  }
  Scene& must_withhold(std::vector<Reason> because) {
    reasons = std::move(because);
    return *this = with(Demand::withhold);
  }
  Scene& named(std::vector<Reason> because) {
    reasons = std::move(because);
    return *this;
  }

  enum class Demand { measure, either, withhold };
  std::string name;
  std::string group;
  double nominal_hz = 3000.0;
  double sample_rate_hz;
  Samples samples;
  Demand demand = Demand::measure;
  std::vector<Reason> reasons;  // any of them names the trouble rightly; empty: nothing need be named
  // The true mean frequency from the tone's start to its stop, and the set frequency (without wow).
  double true_mean_hz = 0.0;
  double set_hz = 0.0;
  double start_s = 0.0;        // of the tone asked for
  std::vector<float> true_hz;  // instantaneous, one value a millisecond, before gaps move time
  [[nodiscard]] double seconds() const { return static_cast<double>(samples.size()) / sample_rate_hz; }

 private:
  Scene with(Demand d) {
    demand = d;
    return *this;
  }
  [[nodiscard]] std::size_t index(double s) const;
  double gaussian() { return normal_(random_); }
  double uniform(double a, double b) { return std::uniform_real_distribution<double>(a, b)(random_); }
  std::mt19937_64 random_;
  std::normal_distribution<double> normal_;
};

// A portable's wow of about that weighted 2-sigma percent, as sinusoids of the rotating parts and a random part.
Tape portable_wow(Tape tape, double weighted_percent, std::mt19937_64& random);

// Every class at several levels and rates, one scene at a time; the same for the same seed. `only` names a single scene
// ("hum 3"); empty: all.
void for_each_scene(std::uint64_t seed, int per_class, const std::string& only,
                    const std::function<void(const Scene&)>& f);

}  // namespace four76::scenes
