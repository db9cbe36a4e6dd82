#include "tests/scenes/score.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <span>

#include "core/tone/nominal_tones.hpp"
#include "core/tone/tone_session.hpp"
#include "tests/scenes/judge_dial.hpp"

namespace four76::scenes {

namespace {

constexpr double kSilentWrongPercent = 0.05;
constexpr double kWorsenedPercent = 0.1;
constexpr std::size_t kBlock = 480;  // frames at a time, about what a browser hands over

void judge_measured(const Scene& scene, Outcome& outcome) {
  const double percent = 100.0 / scene.nominal_hz;
  const double u95 = *outcome.reading.u95_percent;
  outcome.off_percent = (*outcome.reading.frequency_hz - scene.true_mean_hz) * percent;
  outcome.off_set_percent = (*outcome.reading.frequency_hz - scene.set_hz) * percent;
  const double off = std::abs(outcome.off_percent);
  Score& score = outcome.score;
  score.measured = 1;
  score.u95_percent.push_back(u95);
  score.error_percent.push_back(outcome.off_percent);
  score.inside = off <= u95;
  score.inside_set = std::abs(outcome.off_set_percent) <= u95;
  score.silent_wrong = off > u95 && off > kSilentWrongPercent;
  score.wrongly_measured = scene.demand == Scene::Demand::withhold;
}

bool is_in(const std::vector<Reason>& reasons, Reason reason) {
  return std::find(reasons.begin(), reasons.end(), reason) != reasons.end();
}

void judge_reasons(const Scene& scene, Outcome& outcome) {
  const Reading& reading = outcome.reading;
  if (scene.reasons.empty()) return;
  Score& score = outcome.score;
  const bool named =
      std::any_of(reading.reasons.begin(), reading.reasons.end(), [&](Reason r) { return is_in(scene.reasons, r); });
  score.troubled = 1;
  score.told = named;
  const bool worsened = reading.status != Status::measured || *reading.u95_percent > kWorsenedPercent;
  if (!worsened && !scene.name_always) return;
  score.nameable = 1;
  score.named = named;
  score.named_first = !reading.reasons.empty() && is_in(scene.first_reasons, *reading.reasons.begin());
}

void judge(const Scene& scene, Outcome& outcome) {
  Score& score = outcome.score;
  const Status status = outcome.reading.status;
  score.channels = 1;
  score.unreliable = status == Status::unreliable;
  score.no_tone = status == Status::no_tone;
  score.plain = scene.demand == Scene::Demand::measure;
  score.wrongly_withheld = score.plain != 0 && status != Status::measured;
  if (status == Status::measured) judge_measured(scene, outcome);
  judge_reasons(scene, outcome);
}

// A tape that reads as another standard tone is asked after; whoever has its label in hand then says so.
bool is_sure(const Scene& scene) {
  constexpr double kReadsWithin = 0.003;  // of where the machine was set
  const auto asked_after = [&](double hz) { return likelier_standard_tone_hz(hz, scene.nominal_hz).has_value(); };
  return !scene.other_tape &&
         (asked_after(scene.set_hz * (1.0 - kReadsWithin)) || asked_after(scene.set_hz * (1.0 + kReadsWithin)));
}

std::vector<float> interleaved(const Samples& left, const Samples& right) {
  std::vector<float> both;
  both.reserve(2 * left.size());
  for (std::size_t n = 0; n < std::min(left.size(), right.size()); ++n) {
    both.push_back(left[n]);
    both.push_back(right[n]);
  }
  return both;
}

template <typename T>
void append(std::vector<T>& to, const std::vector<T>& from) {
  to.insert(to.end(), from.begin(), from.end());
}

}  // namespace

void Score::add(const Score& o) {
  for (const auto member :
       {&Score::channels, &Score::measured, &Score::unreliable, &Score::no_tone, &Score::inside, &Score::inside_set,
        &Score::silent_wrong, &Score::plain, &Score::wrongly_withheld, &Score::wrongly_measured, &Score::nameable,
        &Score::named, &Score::named_first, &Score::troubled, &Score::told})
    this->*member += o.*member;
  for (const auto member :
       {&Score::dial_rows, &Score::dial_off, &Score::dial_off_set, &Score::dial_off_true, &Score::dial_off_nothing})
    this->*member += o.*member;
  append(u95_percent, o.u95_percent);
  append(error_percent, o.error_percent);
}

double median(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return (*middle + *std::max_element(values.begin(), middle)) / 2.0;
}

std::vector<Outcome> play(const Scene& scene) {
  const std::size_t channels = scene.right ? 2 : 1;
  ToneSession session({.sample_rate_hz = scene.sample_rate_hz,
                       .channels = static_cast<int>(channels),
                       .nominal_hz = scene.nominal_hz,
                       .tone_is_sure = is_sure(scene),
                       .live_capture = scene.live});
  const Samples both = scene.right ? interleaved(scene.samples, scene.right->samples) : Samples();
  const std::span<const float> all(scene.right ? both : scene.samples);
  const auto of = [&](std::size_t channel) -> const Scene& { return channel == 0 ? scene : *scene.right; };
  std::vector<Outcome> outcomes(channels);
  std::uint64_t seen = 0;
  for (std::size_t at = 0; at < all.size(); at += channels * kBlock) {
    session.process(all.subspan(at, std::min(channels * kBlock, all.size() - at)));
    if (session.dial_count() == seen) continue;
    seen = session.dial_count();
    for (std::size_t c = 0; c < channels; ++c) judge_dial(of(c), session.dial(static_cast<int>(c)), outcomes[c].score);
  }
  for (std::size_t c = 0; c < channels; ++c) {
    outcomes[c].reading = session.whole(static_cast<int>(c));
    judge(of(c), outcomes[c]);
  }
  return outcomes;
}

bool worth_a_line(const Score& s) {
  return s.inside < s.measured || s.wrongly_withheld != 0 || s.wrongly_measured != 0 || s.named < s.nameable ||
         s.named_first < s.nameable || s.dial_off > 0;
}

std::string describe(const Scene& scene, const Outcome& outcome) {
  const Score& s = outcome.score;
  char line[256];
  std::snprintf(line, sizeof line,
                "%-18s %-10s off %.5f (set %.5f) u95 %.5f C/N0 %.1f trusted %.1f of %.1f s, dial off %ld/%ld,",
                scene.name.c_str(), std::string(name_of(outcome.reading.status)).c_str(), outcome.off_percent,
                outcome.off_set_percent, outcome.reading.u95_percent.value_or(0.0),
                outcome.reading.carrier_to_noise_dbhz.value_or(0.0), outcome.reading.trusted_s, scene.seconds(),
                s.dial_off, s.dial_rows);
  std::string text = line;
  for (const Reason reason : outcome.reading.reasons) text.append(1, ' ').append(name_of(reason));
  if (s.silent_wrong != 0) text += " SILENT";
  if (s.wrongly_withheld != 0) text += " WITHHELD!";
  if (s.wrongly_measured != 0) text += " MEASURED!";
  if (s.nameable == 0 || s.named_first != 0) return text;
  text += s.named != 0 ? " (not first:" : " (not named:";
  for (const Reason reason : scene.first_reasons) text.append(1, ' ').append(name_of(reason));
  return text + ")";
}

}  // namespace four76::scenes
