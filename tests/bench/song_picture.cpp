#include <algorithm>
#include <array>
#include <cmath>

#include "tests/bench/plot.hpp"
#include "tests/bench/song_proof.hpp"

namespace four76::bench {

namespace {

constexpr Frame kFrame{96.0, 104.0, 620.0, 360.0};

enum class Fate : std::size_t { within, beyond, missed };
struct Look {
  Mark mark;
  const char* colour;
  const char* words;
};
constexpr std::array<Look, 3> kLooks{{{Mark::circle, "own", "within its ±"},
                                      {Mark::triangle, "wrong", "outside its ±"},
                                      {Mark::cross, "other", "no match (top edge)"}}};

Fate fate_of(const SongCase& one) {
  if (!one.matched) return Fate::missed;
  return std::abs(one.error_percent) <= one.u95_percent ? Fate::within : Fate::beyond;
}

}  // namespace

std::string song_picture(const std::vector<SongCase>& cases, bool limit) {
  SvgWriter svg =
      picture(900.0, 540.0, limit ? "A song as the test tape, every tape at the limit" : "A song as the test tape",
              limit ? "30 s of tape, 10 dB above the noise, 0.6 s of reverberation, 0.5 % of wow. A mark is a tape."
                    : "30 to 50 s of tape in noise, wow and reverberation, twelve kinds of music. A mark is a tape.",
              "Error of the speed that a song tells, on a logarithmic axis, against the speed error that was set.");
  constexpr double kLeast = 0.000001, kMost = 0.1;
  Plot plot(svg, kFrame,
            {.label = "speed error of the machine, %",
             .from = -11.0,
             .to = 11.0,
             .ticks = {-10.0, -8.0, -6.0, -4.0, -2.0, 0.0, 2.0, 4.0, 6.0, 8.0, 10.0}},
            {.label = "how far off it was read, %",
             .from = kLeast,
             .to = kMost,
             .ticks = {0.000001, 0.00001, 0.0001, 0.001, 0.01, 0.1},
             .logarithmic = true});
  plot.level(kSongWorstPercent, "0.02 %: worst");
  plot.level(kSongMedianPercent, "0.003 %: median");
  std::array<int, 3> counts{};
  for (const SongCase& one : cases) {
    if (one.kind != "same") continue;
    const auto fate = static_cast<std::size_t>(fate_of(one));
    ++counts[fate];
    plot.mark(kLooks[fate].mark, one.set_percent, one.matched ? std::max(kLeast, std::abs(one.error_percent)) : kMost,
              kLooks[fate].colour);
  }
  const double right = kFrame.left + kFrame.width + 20.0;
  svg.text(right - 12.0, plot.y_of(0.007) - 72.0, "promised", {{"class", "small"}});
  for (std::size_t i = 0; i < kLooks.size(); ++i) {
    const double y = kFrame.top + 220.0 + 44.0 * static_cast<double>(i);
    draw_mark(svg, kLooks[i].mark, right, y - 5.0, kLooks[i].colour);
    svg.text(right + 14.0, y, std::to_string(counts[i]));
    svg.text(right + 14.0, y + 16.0, kLooks[i].words, {{"class", "small"}});
  }
  return svg.finish();
}

}  // namespace four76::bench
