// How still the dial stands, and how fast it follows: a table for wow of many kinds.
//
//   four76_steadiness [SEED] [--table FILE] [--svg FILE]
//
// average: the mean of the true deviation over the newest 0.333 s, which a step takes 0.3 s to bring within 10 %; it
//          knows the deviation without noise, the dial has to hear it.
// plain:   the dial as it would read without what it has learned of the wow.
// still:   the dial.
// Jitter is the standard deviation from 12 s on, a listening of 40 s. Steps come at four moments after half a minute,
// as service manuals let a machine run before it is adjusted; reached is when the dial has come within a tenth of the
// step for the first time and, for the slowest of the four, the time it took; over is the farthest beyond, in percent
// of the step, less the jitter that it had before (three sigma). Inside is the share of measured rows whose u95 held
// the machine's speed.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include "tests/bench/markdown_table.hpp"
#include "tests/bench/plot.hpp"
#include "tests/bench/proof_files.hpp"
#include "tests/bench/steadiness_picture.hpp"
#include "tests/bench/wow_machines.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76::bench {
namespace {

constexpr double kAverage_s = 0.3 / 0.9;
constexpr std::array kSteps_percent = {0.05, -0.3, 3.0};

struct Scatter {
  double sum = 0.0, squares = 0.0, count = 0.0;
  void add(double value) { sum += value, squares += value * value, count += 1.0; }
  [[nodiscard]] double sigma() const { return std::sqrt(std::max(0.0, squares / count - sum * sum / count / count)); }
};

struct Stillness {
  double average = 0.0, plain = 0.0, still = 0.0, inside = 0.0;
};
Stillness stillness_of(const Machine& machine, std::uint64_t seed) {
  constexpr double kSpeed_percent = 0.4;
  const auto wow = wow_of(machine, 40.0, seed);
  Scatter average, plain, still;
  double inside = 0.0;
  each_dial(play(
                wow, [](double) { return kSpeed_percent; }, seed),
            [&](double t, const Reading& dial) {
              if (t < 12.0 || dial.status != Status::measured) return;
              still.add(*dial.speed_error_percent);
              plain.add(*dial.plain_speed_error_percent);
              inside += std::abs(*dial.speed_error_percent - kSpeed_percent) <= *dial.u95_percent ? 1.0 : 0.0;
              const std::size_t end = std::min(wow.size(), test::frames_in(t, kMachineRate_hz));
              const std::size_t length = test::frames_in(kAverage_s, kMachineRate_hz);
              double mean = 0.0;
              for (std::size_t n = end - length; n < end; ++n) mean += wow[n] / static_cast<double>(length);
              average.add(mean);
            });
  return {average.sigma(), plain.sigma(), still.sigma(), 100.0 * inside / std::max(1.0, still.count)};
}

constexpr double kNeverS = 9.0;

struct Followed {
  double slowest_s = 0.0;     // of the four; kNeverS where one did not come within 2 s
  double over_percent = 0.0;  // of the step
};
Followed follow(const Machine& machine, double step_percent, double sigma_percent, std::uint64_t seed) {
  Followed worst;
  for (const double at_s : {30.0, 30.37, 31.11, 33.7}) {
    const auto wow = wow_of(machine, at_s + 2.0, seed + static_cast<std::uint64_t>(at_s * 100.0));
    const auto speed = [&](double t) { return t > at_s ? 0.4 + step_percent : 0.4; };
    double reached_s = kNeverS, beyond = 0.0;
    each_dial(play(wow, speed, seed), [&](double t, const Reading& dial) {
      if (t < at_s || !dial.speed_error_percent) return;
      const double off = *dial.speed_error_percent - 0.4 - step_percent;
      if (reached_s == kNeverS && std::abs(off) < 0.1 * std::abs(step_percent)) reached_s = t - at_s;
      beyond = std::max(beyond, step_percent > 0.0 ? off : -off);
    });
    worst.slowest_s = std::max(worst.slowest_s, reached_s);
    worst.over_percent =
        std::max(worst.over_percent, 100.0 * std::max(0.0, beyond - 3.0 * sigma_percent) / std::abs(step_percent));
  }
  return worst;
}

struct Row {
  const Machine& machine;
  Stillness jitter;
  std::array<Followed, kSteps_percent.size()> steps;
};

void print(const Row& row) {
  const auto& [average, plain, still, inside] = row.jitter;
  std::printf("%-26s %7.4f%% %7.4f%% %7.4f%% %7.2f %7.2f %6.1f%%  ", row.machine.name, average, plain, still,
              still / average, still / plain, inside);
  for (const Followed& followed : row.steps) std::printf("  %5.2f %5.1f", followed.slowest_s, followed.over_percent);
  std::printf("\n");
  std::fflush(stdout);
}

std::string markdown(const std::vector<Row>& rows) {
  MarkdownTable table({"wow of a", "average, %", "plain, %", "dial, %", "dial / average", "within its ±",
                       "0.05 % turn, s", "0.3 % turn, s", "3 % turn, s", "most overshoot"});
  for (const Row& row : rows) {
    std::vector<std::string> cells{row.machine.name,
                                   decimal(row.jitter.average, 4),
                                   decimal(row.jitter.plain, 4),
                                   decimal(row.jitter.still, 4),
                                   decimal(row.jitter.still / row.jitter.average, 2),
                                   decimal(row.jitter.inside, 1) + " %"};
    double over = 0.0;
    for (const Followed& followed : row.steps) {
      cells.push_back(followed.slowest_s == kNeverS ? "over 2" : decimal(followed.slowest_s, 2));
      over = std::max(over, followed.over_percent);
    }
    cells.push_back(decimal(over, 1) + " %");
    table.row(cells);
  }
  return table.text();
}

std::vector<Row> measure_all(std::uint64_t seed) {
  std::vector<Row> rows;
  std::printf("%-26s %8s %8s %8s %7s %7s %7s   %s\n", "", "average", "plain", "still", "/avg", "/plain", "inside",
              "reached, s, and over, % : 0.05 %     0.3 %      3 %");
  for (const Machine& machine : machines()) {
    Row row{machine, stillness_of(machine, seed), {}};
    for (std::size_t i = 0; i < kSteps_percent.size(); ++i)
      row.steps[i] = follow(machine, kSteps_percent[i], row.jitter.still, seed);
    print(row);
    rows.push_back(row);
  }
  return rows;
}

}  // namespace
}  // namespace four76::bench

int main(int argc, char** argv) {
  using namespace four76::bench;
  return run_for_proof("four76_steadiness", argc, argv,
                       [](const std::vector<std::string>& words, const ProofFiles& files) {
                         const std::uint64_t seed = four76::scenes::number_at(words, 0, 1);
                         const std::vector<Row> rows = measure_all(seed);
                         files.write([&] { return markdown(rows); }, [&] { return steadiness_picture(seed); });
                         return 0;
                       });
}
