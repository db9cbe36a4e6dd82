// Makes and plays listed scenes, on several threads where asked; the results come in the list's order.
#pragma once

#include <atomic>
#include <functional>
#include <thread>
#include <vector>

#include "tests/scenes/catalogue.hpp"
#include "tests/scenes/score.hpp"

namespace four76::scenes {

// f(scene, place in the list) for every scene; with several jobs from several threads.
inline void each_scene(const std::vector<Listed>& list, int jobs,
                       const std::function<void(const Scene&, std::size_t)>& f) {
  std::atomic<std::size_t> next = 0;
  const auto work = [&] {
    for (std::size_t i = next++; i < list.size(); i = next++) f(list[i].make(), i);
  };
  std::vector<std::thread> others;
  for (int i = 1; i < jobs; ++i) others.emplace_back(work);
  work();
  for (std::thread& other : others) other.join();
}

struct Played {
  std::string group, kind;
  std::vector<Outcome> outcomes;
  std::vector<std::string> lines;  // what a reader will want to see of them
};
std::vector<Played> play_all(const std::vector<Listed>& list, int jobs, bool every_line);

}  // namespace four76::scenes
