#include "tests/bench/steadiness_picture.hpp"

#include <array>

#include "tests/bench/plot.hpp"
#include "tests/bench/wow_machines.hpp"

namespace four76::bench {

namespace {

constexpr double kTurned_s = 30.0, kShown_s = 4.0;  // half a minute of running, and so long to either side of the turn
constexpr double kBefore_percent = 0.4, kAfter_percent = 0.1;

double speed_percent(double t) { return t > kTurned_s ? kAfter_percent : kBefore_percent; }

struct Shown {
  Points dial, plain;
};
Shown listen(const Machine& machine, std::uint64_t seed) {
  const auto wow = wow_of(machine, kTurned_s + kShown_s, seed);
  Shown shown;
  each_dial(play(wow, speed_percent, seed), [&](double t, const Reading& dial) {
    if (t < kTurned_s - kShown_s || !dial.speed_error_percent || !dial.plain_speed_error_percent) return;
    shown.dial.emplace_back(t, *dial.speed_error_percent);
    shown.plain.emplace_back(t, *dial.plain_speed_error_percent);
  });
  return shown;
}

void draw_machine(SvgWriter& svg, double top, const Machine& machine, const std::string& words, std::uint64_t seed) {
  Plot plot(svg, {80.0, top, 640.0, 180.0},
            {.label = "since listening began, s",
             .from = kTurned_s - kShown_s,
             .to = kTurned_s + kShown_s,
             .ticks = {26.0, 27.0, 28.0, 29.0, 30.0, 31.0, 32.0, 33.0, 34.0}},
            {.label = "speed error, %: " + words, .from = -0.4, .to = 0.8, .ticks = {-0.4, 0.0, 0.4, 0.8}});
  const Shown shown = listen(machine, seed);
  plot.curve({{kTurned_s - kShown_s, kBefore_percent},
              {kTurned_s, kBefore_percent},
              {kTurned_s, kAfter_percent},
              {kTurned_s + kShown_s, kAfter_percent}},
             "dashed dim");
  plot.curve(shown.plain, "thin other");
  plot.curve(shown.dial, "thick own");
}

}  // namespace

std::string steadiness_picture(std::uint64_t seed) {
  SvgWriter svg = picture(900.0, 610.0, "What the dial shows while the trimmer is turned",
                          "Turned by 0.3 % after half a minute. Above: wow that repeats is taken out. Below: wow that "
                          "does not repeat stays, and both lines are one.",
                          "Two plots of speed error against time across a turn of the trimmer: on a portable with wow "
                          "of five rotating parts, and on a machine with random wow alone.");
  draw_machine(svg, 104.0, machine_named("portable of five parts"), "a portable of five rotating parts", seed);
  draw_machine(svg, 366.0, machine_named("random only"), "a machine whose wow is random", seed);
  struct Entry {
    const char *classes, *first, *second;
  };
  constexpr std::array<Entry, 3> kEntries{{{"curve thick own", "Four76's dial", ""},
                                           {"curve thin other", "a plain reading,", "window of 0.36 s"},
                                           {"curve dashed dim", "the machine, wow", "left out"}}};
  double y = 130.0;
  for (const Entry& entry : kEntries) {
    svg.empty("line", {{"class", entry.classes}, {"x1", 736.0}, {"y1", y - 5.0}, {"x2", 764.0}, {"y2", y - 5.0}});
    svg.text(772.0, y, entry.first);
    svg.text(772.0, y + 17.0, entry.second);
    y += 50.0;
  }
  return svg.finish();
}

}  // namespace four76::bench
