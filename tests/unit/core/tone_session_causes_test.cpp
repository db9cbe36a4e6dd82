// What a whole session makes of machines with a known fault, from the sound on: level, foreign lines, turned trimmers.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "core/flutter/causes.hpp"
#include "core/flutter/verdicts.hpp"
#include "tests/unit/core/session_runs.hpp"

namespace four76 {
namespace {

using test::kTwoPi;

constexpr double kRate_hz = 48000.0, kAmplitude = 0.1;

struct Component {
  double rate_hz;
  double peak_percent;
};
// Percent off the nominal at a time, summed into a tone.
using Deviation = std::function<double(double t)>;

Deviation turning(std::vector<Component> parts) {
  return [parts = std::move(parts)](double t) {
    double sum = 0.0;
    for (const auto& [rate_hz, peak_percent] : parts) sum += peak_percent * std::sin(kTwoPi * rate_hz * t);
    return sum;
  };
}

std::vector<float> played(const Deviation& deviation, double seconds, const std::function<double(double t)>& level,
                          double dbhz = 66.0, double rate_hz = kRate_hz) {
  std::vector<float> x(test::frames_in(seconds, rate_hz));
  double cycles = 0.0;
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double t = static_cast<double>(n) / rate_hz;
    x[n] = static_cast<float>(kAmplitude * level(t) * std::sin(kTwoPi * (cycles - std::floor(cycles))));
    cycles += 3000.0 * (1.0 + deviation(t) / 100.0) / rate_hz;
  }
  test::add_noise_dbhz(x, kAmplitude, dbhz, rate_hz, 91);
  return x;
}
double even(double /*t*/) { return 1.0; }

struct Judged {
  Causes causes;
  Verdicts verdicts;
  LevelReading level;
  std::vector<FlutterPeak> peaks;
  [[nodiscard]] bool rules(Rule rule) const {
    return std::any_of(verdicts.begin(), verdicts.end(), [&](const Verdict& v) { return v.rule == rule; });
  }
  [[nodiscard]] const Cause* find(CauseKind kind) const {
    for (const Cause& cause : causes.list)
      if (cause.kind == kind) return &cause;
    return nullptr;
  }
};
Judged judge(ToneSession& session, Stretch stretch) {
  const auto spectrum = session.analyse_flutter(0);
  const FlutterEvidence evidence = session.gather_evidence(0, stretch, spectrum);
  Judged judged{.causes = find_causes(evidence),
                .verdicts = {},
                .level = stretch == Stretch::whole ? session.whole_level(0) : session.level(0),
                .peaks = {}};
  judged.verdicts = find_verdicts(evidence, judged.causes);
  if (spectrum) judged.peaks.assign(spectrum->peaks.begin(), spectrum->peaks.end());
  return judged;
}
Judged judge(std::span<const float> sound, double rate_hz = kRate_hz) {
  ToneSession session(test::listening(rate_hz));
  session.process(sound);
  return judge(session, Stretch::whole);
}

const Deviation kCapstan = turning({{7.58, 0.03}});

TEST(SessionCauses, CountTheDropouts) {
  const auto dirty = [](double t) { return std::fmod(t, 7.0) > 3.0 && std::fmod(t, 7.0) < 3.08 ? 0.2 : 1.0; };
  for (const double rate_hz : {22050.0, 48000.0}) {
    const Judged judged = judge(played(kCapstan, 63.0, dirty, 80.0, rate_hz), rate_hz);
    ASSERT_TRUE(judged.level.dropouts.has_value());
    EXPECT_EQ(judged.level.dropouts->count, 9u);                               // one each seven seconds
    EXPECT_NEAR(judged.level.dropouts->deepest_db.value_or(0.0), 13.98, 1.0);  // 20 log10(0.2)
    EXPECT_NEAR(judged.level.dropouts->longest_s.value_or(0.0), 0.08, 0.01);
    EXPECT_TRUE(judged.rules(Rule::clean_before_measuring));
    ASSERT_FALSE(judged.causes.list.empty());
    EXPECT_EQ(judged.causes.list[0].kind, CauseKind::dropouts);
  }
}

// 20 % of a sine: 14.1 % RMS (derived). The speed has none of it.
TEST(SessionCauses, TellALevelThatSwaysFromASpeedThatDoes) {
  const Judged judged = judge(played(kCapstan, 40.0, [](double t) { return 1.0 + 0.2 * std::sin(kTwoPi * 0.7 * t); }));
  ASSERT_TRUE(judged.level.rms && judged.level.rms->percent);
  EXPECT_NEAR(*judged.level.rms->percent, 14.14, 0.3);
  EXPECT_NE(judged.find(CauseKind::level_flutter), nullptr);
  EXPECT_EQ(judged.find(CauseKind::random_wow), nullptr);
  EXPECT_TRUE(std::none_of(judged.peaks.begin(), judged.peaks.end(),
                           [](const FlutterPeak& peak) { return std::abs(peak.rate_hz - 0.7) < 0.1; }));
}

TEST(SessionCauses, LostSamplesAreNoDropouts) {
  auto sound = played(kCapstan, 60.0, even);
  for (std::size_t at = 100000; at + 2000 < sound.size(); at += 300000)
    std::fill_n(sound.begin() + static_cast<std::ptrdiff_t>(at), 1024, 0.0F);
  const Judged judged = judge(sound);
  ASSERT_TRUE(judged.level.dropouts.has_value());
  EXPECT_EQ(judged.level.dropouts->count, 0u);
  EXPECT_EQ(judged.find(CauseKind::dropouts), nullptr);
}

TEST(SessionCauses, SilenceBetweenTapesIsNoDropout) {
  const auto sound = played(
      kCapstan, 70.0, [](double t) { return t > 20.0 && t < 26.0 ? 0.0 : 1.0; }, 70.0);
  const Judged judged = judge(sound);
  ASSERT_TRUE(judged.level.dropouts.has_value());
  EXPECT_EQ(judged.level.dropouts->count, 0u);
}

// A line D Hz beside the tone, of a relative amplitude a, swings the reading by a D Hz (derived; see interference.hpp).
TEST(SessionCauses, ALineBesideTheToneIsNoPartOfTheMachine) {
  for (const double beside_hz : {-38.0, 23.0, 50.0}) {
    auto sound = played(turning({{7.58, 0.08}}), 30.0, even);
    test::add(sound, test::tone(3000.0 + beside_hz, 30.0, kRate_hz, 0.01 * kAmplitude));
    const Judged judged = judge(sound);
    const double swing_percent = 0.01 * std::abs(beside_hz) / 30.0;
    bool seen = false, capstan_seen = false;
    for (const FlutterPeak& peak : judged.peaks) {
      if (std::abs(peak.rate_hz - std::abs(beside_hz)) < 0.3) {
        seen = true;
        EXPECT_TRUE(peak.foreign) << beside_hz;
        EXPECT_NEAR(peak.peak_percent, swing_percent, 0.1 * swing_percent) << beside_hz;
      }
      if (std::abs(peak.rate_hz - 7.58) < 0.3) {
        capstan_seen = true;
        EXPECT_FALSE(peak.foreign) << beside_hz;
      }
    }
    EXPECT_TRUE(seen) << beside_hz;
    EXPECT_TRUE(capstan_seen) << beside_hz;
    for (const Cause& cause : judged.causes.list)
      for (const CausePeak& peak : cause.peaks) EXPECT_LT(peak.rate_hz, 20.0) << beside_hz;
  }
}

TEST(SessionCauses, FlutterOfThatRateIsThePartsWhereNothingSoundsBesideTheTone) {
  const Judged judged = judge(played(turning({{7.58, 0.08}, {38.0, 0.02}}), 30.0, even));
  ASSERT_GE(judged.peaks.size(), 2u);
  for (const FlutterPeak& peak : judged.peaks) EXPECT_FALSE(peak.foreign) << peak.rate_hz;
}

TEST(SessionCauses, ASagIsSaidAndATurnedTrimmerIsNone) {
  const Judged sag = judge(played([](double t) { return kCapstan(t) + 0.4 - 0.8 * t / 120.0; }, 120.0, even));
  EXPECT_TRUE(sag.rules(Rule::speed_sags));
  ASSERT_NE(sag.find(CauseKind::sag), nullptr);
  EXPECT_NEAR(*sag.find(CauseKind::sag)->figure, -0.8, 0.03);

  const Judged turned = judge(played([](double t) { return kCapstan(t) + (t < 60.0 ? 0.8 : 0.0); }, 120.0, even));
  EXPECT_FALSE(turned.rules(Rule::speed_sags) || turned.rules(Rule::wow_hides_the_mean));
  EXPECT_EQ(turned.find(CauseKind::sag), nullptr);
  EXPECT_EQ(turned.find(CauseKind::random_wow), nullptr);
}

// Recordings begin with the key being pressed: the speed comes from nothing in half a second.
TEST(SessionCauses, AMachineThatStartsWithinTheRecordingHasNoWowOfIt) {
  const auto machine = turning({{7.58, 0.1}, {1.25, 0.1}});
  for (const double silence_s : {0.0, 2.0}) {
    auto sound = played([&](double t) { return machine(t) - 12.0 * std::exp(-t / 0.25); }, 32.0, even);
    sound.insert(sound.begin(), test::frames_in(silence_s, kRate_hz), 0.0F);
    ToneSession session(test::listening(kRate_hz));
    session.process(sound);
    const FlutterReading figures = session.whole_flutter(0);
    ASSERT_TRUE(figures.unweighted_rms && figures.unweighted_rms->percent && figures.drift) << silence_s;
    EXPECT_NEAR(*figures.unweighted_rms->percent, 0.1, 0.005) << silence_s;  // two sines of 0.1 % peak (derived)
    EXPECT_NEAR(*figures.weighted_quasi_peak->percent, 0.14, 0.03) << silence_s;
    const Judged judged = judge(session, Stretch::whole);
    EXPECT_FALSE(judged.rules(Rule::wow_beyond_usual) || judged.rules(Rule::warming_up)) << silence_s;
    EXPECT_EQ(judged.find(CauseKind::random_wow), nullptr) << silence_s;
  }
}

// Nothing is said while the trimmer is being turned, and what is said afterwards is of the new setting.
TEST(SessionCauses, WaitUntilTheTrimmerHasStoodAWhile) {
  const auto sound =
      played([](double t) { return kCapstan(t) + (t < 30.0   ? -2.0
                                                  : t < 32.0 ? -0.9
                                                             : 0.1); }, 75.0, even);
  ToneSession session(test::listening(kRate_hz));
  const auto until = [&](double from_s, double to_s) {
    session.process(
        std::span(sound).subspan(test::frames_in(from_s, kRate_hz), test::frames_in(to_s - from_s, kRate_hz)));
    return judge(session, Stretch::newest);
  };
  EXPECT_FALSE(until(0.0, 29.0).rules(Rule::wow_beyond_usual));
  const Judged just = until(29.0, 38.0);
  EXPECT_EQ(just.causes.thin, Thin::just_turned);
  EXPECT_TRUE(just.verdicts.empty());
  const Judged later = until(38.0, 75.0);
  EXPECT_FALSE(later.causes.thin.has_value());
  EXPECT_NE(later.find(CauseKind::capstan), nullptr);
  EXPECT_FALSE(later.rules(Rule::warming_up) || later.rules(Rule::speed_sags));
}

TEST(SessionCauses, NameNothingInSpeechOrSilence) {
  for (const auto& sound : {std::vector<float>(48000 * 20), test::voice(20.0, kRate_hz, 0.3, 5)}) {
    const Judged judged = judge(sound);
    EXPECT_TRUE(judged.verdicts.empty());
    EXPECT_TRUE(judged.causes.list.empty());
    EXPECT_EQ(judged.causes.thin, Thin::not_measured);
  }
}

}  // namespace
}  // namespace four76
