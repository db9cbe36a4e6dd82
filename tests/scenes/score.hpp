// How the instrument did on scenes: counted a class at a time.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/reading.hpp"
#include "tests/scenes/scene.hpp"

namespace four76::scenes {

struct Score {
  int scenes = 0, measured = 0, unreliable = 0, no_tone = 0;
  int inside = 0;                         // measured with the true mean inside u95
  int inside_set = 0;                     // measured with the set speed (without the wow) inside u95
  int silent_wrong = 0;                   // measured, but off by more than its u95 and by more than 0.05 %
  int wrongly_withheld = 0;               // not measured although the scene is plain
  int wrongly_measured = 0;               // measured although there is nothing to measure
  int named = 0, nameable = 0;            // withheld or worsened with the right reason; of so many
  int told = 0, troubled = 0;             // the right reason named at all; of so many scenes with trouble
  long dial_rows = 0, dial_rows_off = 0;  // measured rows of the dial; those off by more than three times their u95
  std::vector<double> u95_percent;

  void add(const Score& other);
  [[nodiscard]] double median_u95_percent() const;
};

struct Outcome {
  Reading reading;
  double off_percent = 0.0, off_set_percent = 0.0;  // of a measured reading
  Score score;                                      // of this scene alone
};

// Plays the scene to a ToneSession, dial and all.
Outcome play(const Scene& scene);

// One line about a scene, for a table's reader.
std::string describe(const Scene& scene, const Outcome& outcome);

}  // namespace four76::scenes
