// Side by side on the same scenes in one run: a counter, a spectrum's peak, a pitch library, and Four76.
//   four76_peers [SEED] [SCENES A CLASS] [ONLY] [--jobs N] [--table FILE] [--svg FILE]
// A peer's figure more than 25 % from the nominal counts as none: its user would see that it is not the tone. Peers
// state no uncertainty, so that each figure off by more than 0.05 % is silently wrong; Four76's must be off by more
// than its u95 besides. Where nothing is on the tape, every figure is. Promised, or the status is 1: none of Four76's
// is.
#include <cmath>
#include <cstdio>
#include <map>
#include <string>

#include "tests/bench/markdown_table.hpp"
#include "tests/bench/peers.hpp"
#include "tests/bench/peers_picture.hpp"
#include "tests/bench/plot.hpp"
#include "tests/bench/promises.hpp"
#include "tests/bench/proof_files.hpp"
#include "tests/scenes/options.hpp"
#include "tests/scenes/run_scenes.hpp"

namespace {

using namespace four76;
using scenes::Scene;

constexpr double kSilentWrongPercent = 0.05;
constexpr double kPlainlyNotTheTone = 0.25;

struct Answer {
  bool given = false, silent_wrong = false;
  double off_percent = 0.0;  // where there is a truth
};

// aubio's methods: "yinfast" errs least in RMS and gives the most numbers, "mcomb" has the least median error.
const std::vector<std::string> kMethods = {"counter, 1 s gate: last gate",
                                           "counter: mean of gates",
                                           "counter: median",
                                           "spectrum 16,384: last frame",
                                           "spectrum: mean of frames",
                                           "spectrum: median",
                                           "aubio yinfast: last",
                                           "aubio yinfast: mean",
                                           "aubio yinfast: median",
                                           "aubio mcomb: last",
                                           "aubio mcomb: mean",
                                           "aubio mcomb: median",
                                           "Four76"};

Answer peer_answer(const Scene& scene, const std::optional<double>& hz) {
  if (!hz || std::abs(*hz / scene.nominal_hz - 1.0) > kPlainlyNotTheTone) return {};
  if (scene.tones.empty()) return {true, true, 0.0};
  const double off = 100.0 * std::abs(*hz - scene.true_mean_hz) / scene.nominal_hz;
  return {true, off > kSilentWrongPercent, off};
}

Answer own_answer(const Scene& scene) {
  const scenes::Outcome outcome = scenes::play(scene).front();
  if (outcome.score.measured == 0) return {};
  return {true, outcome.score.silent_wrong != 0 || scene.tones.empty(),
          scene.tones.empty() ? 0.0 : std::abs(outcome.off_percent)};
}

std::vector<Answer> answers_to(const Scene& scene) {
  std::vector<Answer> answers;
  const auto add = [&](const bench::PeerReading& reading) {
    answers.push_back(peer_answer(scene, reading.last_hz));
    answers.push_back(peer_answer(scene, reading.mean_hz));
    answers.push_back(peer_answer(scene, reading.median_hz));
  };
  add(bench::count_crossings(scene.samples, scene.sample_rate_hz));
  add(bench::spectrum_peak(scene.samples, scene.sample_rate_hz, scene.nominal_hz));
  for (const char* method : {"yinfast", "mcomb"}) add(bench::aubio_pitch(scene.samples, scene.sample_rate_hz, method));
  answers.push_back(own_answer(scene));
  return answers;
}

struct Tally {
  int given = 0, silent_wrong = 0;
  double square_sum = 0.0;
  std::vector<double> off_percent;
  void add(const Answer& answer, bool has_truth) {
    given += answer.given;
    silent_wrong += answer.silent_wrong;
    if (!answer.given || !has_truth) return;
    square_sum += answer.off_percent * answer.off_percent;
    off_percent.push_back(answer.off_percent);
  }
  [[nodiscard]] double rms_percent() const { return std::sqrt(square_sum / static_cast<double>(off_percent.size())); }
};

struct Group {
  std::string name;
  int scenes = 0;
  std::vector<Tally> tallies = std::vector<Tally>(kMethods.size());
  void add(const std::vector<Answer>& answers, bool has_truth) {
    ++scenes;
    for (std::size_t m = 0; m < answers.size(); ++m) tallies[m].add(answers[m], has_truth);
  }
};

void print(const Group& group) {
  std::printf("\n%s, %d scenes\n", group.name.c_str(), group.scenes);
  for (std::size_t m = 0; m < kMethods.size(); ++m) {
    const Tally& t = group.tallies[m];
    std::printf("  %-30s %6d ", kMethods[m].c_str(), t.given);
    if (t.off_percent.empty())
      std::printf("%12s %12s", "-", "-");
    else
      std::printf("%12.5f %12.5f", t.rms_percent(), scenes::median(t.off_percent));
    std::printf(" %8d\n", t.silent_wrong);
  }
}

std::string markdown_of_all(const Group& all) {
  bench::MarkdownTable table({"all " + std::to_string(all.scenes) + " scenes", "gave a number", "RMS error, %",
                              "median error, %", "silently wrong"});
  for (std::size_t m = 0; m < kMethods.size(); ++m) {
    const Tally& t = all.tallies[m];
    const bool none = t.off_percent.empty();
    table.row({kMethods[m], std::to_string(t.given), none ? "-" : bench::decimal(t.rms_percent(), 4),
               none ? "-" : bench::decimal(scenes::median(t.off_percent), 4), std::to_string(t.silent_wrong)});
  }
  return table.text();
}

std::string markdown_by_kind(const std::vector<Group>& groups) {
  std::vector<std::string> heads{"silently wrong, by kind of scene"};
  for (const Group& group : groups) heads.push_back(group.name + ", " + std::to_string(group.scenes));
  bench::MarkdownTable table(heads);
  for (std::size_t m = 0; m < kMethods.size(); ++m) {
    std::vector<std::string> cells{kMethods[m]};
    for (const Group& group : groups) cells.push_back(std::to_string(group.tallies[m].silent_wrong));
    table.row(cells);
  }
  return table.text();
}

std::string picture_of(const Group& all) {
  std::vector<bench::PeerShare> shares;
  for (std::size_t m = 0; m < kMethods.size(); ++m)
    shares.push_back({kMethods[m], all.scenes, all.tallies[m].given, all.tallies[m].silent_wrong});
  return bench::peers_picture(shares);
}

struct Result {
  std::string kind;
  bool has_truth = false;
  std::vector<Answer> answers;
};

}  // namespace

int main(int argc, char** argv) {
  return bench::run_for_proof(
      "four76_peers", argc, argv, [](const std::vector<std::string>& words, const bench::ProofFiles& files) {
        const scenes::Options options = scenes::options_of(words);
        const auto list = scenes::list_scenes(options.seed, options.per_class, options.only);
        std::vector<Result> results(list.size());
        scenes::each_scene(list, options.jobs, [&](const Scene& scene, std::size_t place) {
          results[place] = {scene.kind, !scene.tones.empty(), answers_to(scene)};
        });
        std::vector<Group> groups;
        Group all{"all", 0};
        for (const Result& result : results) {
          if (groups.empty() || groups.back().name != result.kind) groups.push_back({result.kind, 0});
          groups.back().add(result.answers, result.has_truth);
          all.add(result.answers, result.has_truth);
        }
        groups.push_back(all);
        std::printf("%-32s %6s %12s %12s %8s\n", "", "number", "RMS error, %", "median, %", "silent!");
        for (const Group& group : groups) print(group);
        const double silent = groups.back().tallies.back().silent_wrong;
        return files.write(
            {bench::at_most("numbers of Four76 that are silently wrong", silent, 0.0, {0, ""})},
            [&] { return markdown_of_all(groups.back()) + "\n" + markdown_by_kind(groups); },
            [&] { return picture_of(groups.back()); });
      });
}
