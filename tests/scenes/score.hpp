// How the instrument did on scenes: counted a class at a time. A channel of a scene counts as one.
#pragma once

#include <string>
#include <vector>

#include "core/reading.hpp"
#include "tests/scenes/scene.hpp"

namespace four76::scenes {

struct Score {
  int channels = 0, measured = 0, unreliable = 0, no_tone = 0;
  int inside = 0;                     // measured with the true mean inside u95
  int inside_set = 0;                 // measured with the set speed (without the wow) inside u95
  int silent_wrong = 0;               // measured, but off by more than its u95 and by more than 0.05 %
  int plain = 0;                      // that must be measured
  int wrongly_withheld = 0;           // plain, but not measured
  int wrongly_measured = 0;           // measured although it must be withheld
  int nameable = 0;                   // withheld or worsened, or in trouble too plain to be passed over; of these:
  int named = 0, named_first = 0;     // the right reason among those given; right the first one
  int troubled = 0, told = 0;         // with any trouble; of these with the right reason named
  long dial_rows = 0;                 // measured rows of the dial
  long dial_off = 0;                  // off by more than three times their u95 from every speed that is right
  long dial_off_set = 0;              // from every speed set within their window
  long dial_off_true = 0;             // from the true mean, wow and all, over their window
  long dial_off_nothing = 0;          // of dial_off, in scenes that hold no tone of a tape
  std::vector<double> u95_percent;    // of the measured
  std::vector<double> error_percent;  // signed, of the same

  void add(const Score& other);
};

double median(std::vector<double> values);

struct Outcome {
  Reading reading;
  double off_percent = 0.0, off_set_percent = 0.0;  // of a measured reading, signed
  Score score;                                      // of this channel alone
};

// Plays the scene to a ToneSession, dial and all. One outcome a channel.
std::vector<Outcome> play(const Scene& scene);

// Whether something is wrong with it that a reader will want to see.
bool worth_a_line(const Score& score);

// One line about a channel of a scene, for a table's reader.
std::string describe(const Scene& scene, const Outcome& outcome);

}  // namespace four76::scenes
