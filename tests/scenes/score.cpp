#include "tests/scenes/score.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <span>

#include "core/tone/tone_session.hpp"

namespace four76::scenes {

namespace {

constexpr double kSilentWrongPercent = 0.05;
constexpr double kWorsenedPercent = 0.1;
constexpr double kDialWindowS = 0.4;

// How far the dial is from the speeds that were set within its window: any of them is right while the screw turns.
double dial_off_hz(const Scene& scene, const Reading& dial) {
  const auto now = std::min(scene.true_hz.size() - 1, static_cast<std::size_t>(dial.time_s * 1000.0));
  const auto window = static_cast<std::size_t>(kDialWindowS * 1000.0);
  const double a = *dial.frequency_hz - static_cast<double>(scene.true_hz[now]);
  const double b = *dial.frequency_hz - static_cast<double>(scene.true_hz[now > window ? now - window : 0]);
  return a * b < 0.0 ? 0.0 : std::min(std::abs(a), std::abs(b));
}

void judge_dial(const Scene& scene, const Reading& dial, Score& score) {
  if (dial.status != Status::measured || dial.time_s < scene.start_s + kDialWindowS) return;
  ++score.dial_rows;
  if (scene.true_hz.empty()) {  // there is no tone to be measured
    ++score.dial_rows_off;
    return;
  }
  if (dial_off_hz(scene, dial) * 100.0 / scene.nominal_hz > 3.0 * *dial.u95_percent) ++score.dial_rows_off;
}

bool names_any(const Reading& reading, const std::vector<Reason>& of) {
  return std::any_of(of.begin(), of.end(), [&](Reason r) { return reading.reasons.contains(r); });
}

void judge_measured(const Scene& scene, Outcome& outcome) {
  const double percent = 100.0 / scene.nominal_hz;
  const Reading& reading = outcome.reading;
  outcome.off_percent = std::abs(*reading.frequency_hz - scene.true_mean_hz) * percent;
  outcome.off_set_percent = std::abs(*reading.frequency_hz - scene.set_hz) * percent;
  const double u95 = *reading.u95_percent;
  Score& score = outcome.score;
  score.measured = 1;
  score.u95_percent.push_back(u95);
  score.inside = outcome.off_percent <= u95;
  score.inside_set = outcome.off_set_percent <= u95;
  score.silent_wrong = outcome.off_percent > u95 && outcome.off_percent > kSilentWrongPercent;
  score.wrongly_measured = scene.demand == Scene::Demand::withhold;
}

}  // namespace

void Score::add(const Score& o) {
  scenes += o.scenes;
  measured += o.measured;
  unreliable += o.unreliable;
  no_tone += o.no_tone;
  inside += o.inside;
  inside_set += o.inside_set;
  silent_wrong += o.silent_wrong;
  wrongly_withheld += o.wrongly_withheld;
  wrongly_measured += o.wrongly_measured;
  named += o.named;
  nameable += o.nameable;
  told += o.told;
  troubled += o.troubled;
  dial_rows += o.dial_rows;
  dial_rows_off += o.dial_rows_off;
  u95_percent.insert(u95_percent.end(), o.u95_percent.begin(), o.u95_percent.end());
}

double Score::median_u95_percent() const {
  if (u95_percent.empty()) return 0.0;
  std::vector<double> sorted = u95_percent;
  std::sort(sorted.begin(), sorted.end());
  return sorted[sorted.size() / 2];
}

Outcome play(const Scene& scene) {
  Outcome outcome;
  Score& score = outcome.score;
  ToneSession session({.sample_rate_hz = scene.sample_rate_hz, .nominal_hz = scene.nominal_hz});
  const std::span<const float> all(scene.samples);
  std::uint64_t seen = 0;
  for (std::size_t at = 0; at < all.size(); at += 480) {
    session.process(all.subspan(at, std::min<std::size_t>(480, all.size() - at)));
    if (session.dial_count() == seen) continue;
    seen = session.dial_count();
    judge_dial(scene, session.dial(0), score);
  }
  outcome.reading = session.whole(0);
  const Reading& reading = outcome.reading;
  score.scenes = 1;
  if (reading.status == Status::measured) judge_measured(scene, outcome);
  score.unreliable = reading.status == Status::unreliable;
  score.no_tone = reading.status == Status::no_tone;
  score.wrongly_withheld = reading.status != Status::measured && scene.demand == Scene::Demand::measure;
  if (scene.reasons.empty()) return outcome;
  const bool named = names_any(reading, scene.reasons);
  const bool worsened = reading.status != Status::measured || *reading.u95_percent > kWorsenedPercent;
  score.nameable = worsened || scene.demand == Scene::Demand::measure;
  score.named = score.nameable != 0 && named;
  score.troubled = 1;
  score.told = named;
  return outcome;
}

std::string describe(const Scene& scene, const Outcome& outcome) {
  std::string reasons;
  for (const Reason reason : outcome.reading.reasons) reasons.append(1, ' ').append(name_of(reason));
  char line[256];
  std::snprintf(line, sizeof line, "%-18s %-10s off %.5f (set %.5f) u95 %.5f C/N0 %.1f trusted %.1f s,",
                scene.name.c_str(), std::string(name_of(outcome.reading.status)).c_str(), outcome.off_percent,
                outcome.off_set_percent, outcome.reading.u95_percent.value_or(0.0),
                outcome.reading.carrier_to_noise_dbhz.value_or(0.0), outcome.reading.trusted_s);
  return line + reasons;
}

}  // namespace four76::scenes
