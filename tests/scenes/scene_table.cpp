// Prints how the instrument does on the catalogue of scenes, one row a class: four76_scenes [seed] [scenes a class].
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <string>
#include <vector>

#include "core/tone/tone_session.hpp"
#include "tests/scenes/scene.hpp"

namespace {

using four76::Reading;
using four76::Reason;
using four76::Status;
using four76::scenes::Scene;

struct Row {
  int scenes = 0, measured = 0, unreliable = 0, no_tone = 0;
  int inside = 0, inside_set = 0, silent_wrong = 0, wrongly_withheld = 0, wrongly_measured = 0, named = 0, nameable = 0,
      troubled = 0, told = 0;
  long rows = 0, rows_off = 0;
  std::vector<double> u95;
};

std::string reasons_of(const Reading& reading) {
  std::string text;
  for (const Reason reason : reading.reasons) text += std::string(name_of(reason)) + " ";
  return text;
}

void judge(const Scene& scene, bool verbose, Row& row) {
  four76::ToneSession session({scene.sample_rate_hz, 1, scene.nominal_hz});
  const std::span<const float> all(scene.samples);
  const double percent = 100.0 / scene.nominal_hz;
  std::uint64_t seen = 0;
  for (std::size_t at = 0; at < all.size(); at += 480) {
    session.process(all.subspan(at, std::min<std::size_t>(480, all.size() - at)));
    if (session.dial_count() == seen) continue;
    seen = session.dial_count();
    const Reading& dial = session.dial(0);
    if (dial.status != Status::measured || scene.true_hz.empty() || dial.time_s < scene.start_s + 0.4) continue;
    const auto now = std::min(scene.true_hz.size() - 1, static_cast<std::size_t>(dial.time_s * 1000.0));
    const auto before = now > 400 ? now - 400 : 0;
    // Any speed set within the dial's window is a right answer while it is being turned.
    const double a = *dial.frequency_hz - static_cast<double>(scene.true_hz[now]);
    const double b = *dial.frequency_hz - static_cast<double>(scene.true_hz[before]);
    const double off = a * b < 0.0 ? 0.0 : std::min(std::abs(a), std::abs(b)) * percent;
    ++row.rows;
    if (off > 3.0 * *dial.u95_percent) ++row.rows_off;
  }
  const Reading reading = session.whole(0);
  ++row.scenes;
  const bool measured = reading.status == Status::measured;
  row.measured += measured;
  row.unreliable += reading.status == Status::unreliable;
  row.no_tone += reading.status == Status::no_tone;
  double off = 0.0;
  double off_set = 0.0;
  bool bad = false;
  if (measured) {
    off = std::abs(*reading.frequency_hz - scene.true_mean_hz) * percent;
    off_set = std::abs(*reading.frequency_hz - scene.set_hz) * percent;
    row.u95.push_back(*reading.u95_percent);
    row.inside += off <= *reading.u95_percent;
    row.inside_set += off_set <= *reading.u95_percent;
    if (off > *reading.u95_percent && off > 0.05) {
      ++row.silent_wrong;
      bad = true;
    }
    if (scene.demand == Scene::Demand::withhold) {
      ++row.wrongly_measured;
      bad = true;
    }
  } else if (scene.demand == Scene::Demand::measure) {
    ++row.wrongly_withheld;
    bad = true;
  }
  const bool worsened = !measured || scene.demand == Scene::Demand::either
                            ? !measured || (reading.u95_percent && *reading.u95_percent > 0.1)
                            : false;
  const bool asked = !scene.because_.empty() && (!measured || worsened || scene.demand == Scene::Demand::measure);
  if (asked) {
    ++row.nameable;
    const bool named = std::any_of(scene.because_.begin(), scene.because_.end(),
                                   [&](Reason r) { return reading.reasons.contains(r); });
    row.named += named;
    if (!named) bad = true;
  }
  if (!scene.because_.empty()) {
    ++row.troubled;
    row.told += std::any_of(scene.because_.begin(), scene.because_.end(),
                            [&](Reason r) { return reading.reasons.contains(r); });
  }
  const bool outside = measured && off > *reading.u95_percent;
  if (verbose && (bad || outside))
    std::printf("  %s%-18s %-10s off %.5f (set %.5f) u95 %.5f cn %.1f trusted %.1f [%s]\n", bad ? "! " : "  ",
                scene.name.c_str(), std::string(name_of(reading.status)).c_str(), off, off_set,
                reading.u95_percent.value_or(-1.0), reading.carrier_to_noise_dbhz.value_or(-1.0), reading.trusted_s,
                reasons_of(reading).c_str());
}

}  // namespace

int main(int argc, char** argv) {
  const auto seed = static_cast<std::uint64_t>(argc > 1 ? std::atoll(argv[1]) : 1);
  const int per_class = argc > 2 ? std::atoi(argv[2]) : 10;
  std::map<std::string, Row> rows;
  std::vector<std::string> order;
  for (const Scene& scene : four76::scenes::catalogue(seed, per_class)) {
    if (!rows.contains(scene.group)) order.push_back(scene.group);
    judge(scene, true, rows[scene.group]);
  }
  std::printf("%-16s %4s %5s %5s %5s | %6s %6s %6s | %7s %7s | %19s | %8s %9s\n", "class", "n", "meas", "unrel", "none",
              "in u95", "in set", "silent", "withh!", "meas!", "named      told", "u95 med", "dial off");
  Row sum;
  for (const std::string& group : order) {
    Row& r = rows[group];
    std::sort(r.u95.begin(), r.u95.end());
    std::printf("%-16s %4d %5d %5d %5d | %6d %6d %6d | %7d %7d | %4d/%4d %4d/%4d | %8.5f %4ld/%4ld\n", group.c_str(),
                r.scenes, r.measured, r.unreliable, r.no_tone, r.inside, r.inside_set, r.silent_wrong,
                r.wrongly_withheld, r.wrongly_measured, r.named, r.nameable, r.told, r.troubled,
                r.u95.empty() ? 0.0 : r.u95[r.u95.size() / 2], r.rows_off, r.rows);
    sum.measured += r.measured;
    sum.inside += r.inside;
    sum.inside_set += r.inside_set;
    sum.silent_wrong += r.silent_wrong;
    sum.wrongly_withheld += r.wrongly_withheld;
    sum.wrongly_measured += r.wrongly_measured;
    sum.named += r.named;
    sum.nameable += r.nameable;
    sum.rows += r.rows;
    sum.rows_off += r.rows_off;
  }
  std::printf(
      "all: measured %d, inside u95 %.3f (set %.3f), silent wrongs %d, wrongly withheld %d, wrongly measured %d, named "
      "%.3f, dial rows off %.4f\n",
      sum.measured, static_cast<double>(sum.inside) / sum.measured, static_cast<double>(sum.inside_set) / sum.measured,
      sum.silent_wrong, sum.wrongly_withheld, sum.wrongly_measured,
      static_cast<double>(sum.named) / std::max(1, sum.nameable),
      static_cast<double>(sum.rows_off) / static_cast<double>(std::max(1L, sum.rows)));
  return 0;
}
