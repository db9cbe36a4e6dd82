#include "tests/scenes/run_scenes.hpp"

namespace four76::scenes {

std::vector<Played> play_all(const std::vector<Listed>& list, int jobs, bool every_line) {
  std::vector<Played> all(list.size());
  each_scene(list, jobs, [&](const Scene& scene, std::size_t place) {
    Played& played = all[place];
    played.group = scene.group;
    played.kind = scene.kind;
    played.outcomes = play(scene);
    for (std::size_t c = 0; c < played.outcomes.size(); ++c) {
      const Outcome& outcome = played.outcomes[c];
      if (!every_line && !worth_a_line(outcome.score)) continue;
      const Scene& channel = c == 0 ? scene : *scene.right;
      played.lines.push_back(describe(channel, outcome));
    }
  });
  return all;
}

}  // namespace four76::scenes
