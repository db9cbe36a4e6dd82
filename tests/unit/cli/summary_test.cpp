#include "core/cli/summary.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "core/cli/measure_json.hpp"
#include "core/cli/song_report.hpp"
#include "core/records/safety_text.hpp"

namespace four76::cli {
namespace {

Measurement measurement_of(const Reading& reading) {
  return {.file = "tape.wav",
          .sample_rate_hz = 48000,
          .duration_s = 30.0,
          .tone_nominal_hz = 3000.0,
          .clock_ppm = {},
          .channels = {{.channel = "mono", .reading = reading, .budget = error_budget(reading, 0.0, std::nullopt)}},
          .channels_identical = {},
          .channels_agree = {}};
}

Reading fast_by(double percent, std::optional<double> u95_percent) {
  Reading reading;
  reading.status = Status::measured;
  reading.frequency_hz = 3000.0 * (1.0 + percent / 100.0);
  reading.speed_error_percent = percent;
  reading.u95_percent = u95_percent;
  return reading;
}

bool says(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

TEST(Summary, GivesAsManyDigitsAsTheUncertaintyAllows) {
  EXPECT_TRUE(says(summary_of(measurement_of(fast_by(1.23456789, 0.0041))), "+1.2346 \u00b1 0.0041 %"));
  EXPECT_TRUE(says(summary_of(measurement_of(fast_by(-1.23456789, 0.25))), "-1.23 \u00b1 0.25 %"));
  EXPECT_TRUE(says(summary_of(measurement_of(fast_by(1.23456789, 0.25))), "3037.0 \u00b1 7.6 Hz"));
  EXPECT_TRUE(says(summary_of(measurement_of(fast_by(1.23456789, 12.0))), "+1 \u00b1 12 %"));
  EXPECT_TRUE(says(summary_of(measurement_of(fast_by(1.23456789, std::nullopt))), "+1.23 %"));
  EXPECT_TRUE(says(summary_of(measurement_of(fast_by(1.23456789, 0.0))), "+1.23457 \u00b1 under 0.00001 %"));
}

TEST(Summary, SaysWhichWay) {
  EXPECT_TRUE(says(summary_of(measurement_of(fast_by(0.5, 0.01))), "runs fast"));
  EXPECT_TRUE(says(summary_of(measurement_of(fast_by(-0.5, 0.01))), "runs slow"));
  EXPECT_TRUE(says(summary_of(measurement_of(fast_by(0.5, 0.01))), "+8.63 \u00b1 0.17 cents"));  // 1200 log2(1.005)
}

TEST(Summary, DoesNotShowADoubtfulNumberAsAReading) {
  auto reading = fast_by(5.0, 0.01);
  reading.status = Status::unreliable;
  reading.reasons.add(Reason::wrong_tone);
  const auto text = summary_of(measurement_of(reading));
  EXPECT_TRUE(says(text, "mono: not to be trusted"));
  EXPECT_TRUE(says(text, "perhaps +5.000"));
  EXPECT_TRUE(says(text, "another standard tone"));
  EXPECT_TRUE(says(why_not_measured(measurement_of(reading)), "another standard tone"));
}

TEST(Summary, HasWordsForEveryReason) {
  for (std::size_t i = 0; i < kReasonCount; ++i) {
    Reading reading;
    reading.reasons.add(static_cast<Reason>(i));
    const auto text = summary_of(measurement_of(reading));
    EXPECT_TRUE(says(text, "because")) << i;
    EXPECT_TRUE(says(text, ": ")) << i;
    EXPECT_GT(why_not_measured(measurement_of(reading)).size(), 60u) << i;
  }
}

TEST(Summary, CautionsWhereverItSendsSomebodyToTheMachine) {
  EXPECT_FALSE(says(summary_of(measurement_of(fast_by(0.1, 0.01))), safety_text()));
  for (const Reason reason : {Reason::mains_hum, Reason::tape_dropout}) {
    Reading reading = fast_by(0.1, 0.01);
    reading.status = Status::unreliable;
    reading.reasons.add(reason);
    EXPECT_TRUE(says(summary_of(measurement_of(reading)), safety_text()));
    EXPECT_TRUE(says(why_not_measured(measurement_of(reading)), safety_text()));
  }
  Measurement trimmed = measurement_of(fast_by(3.0, 0.01));
  Cause cause;
  cause.kind = CauseKind::trimmer;
  cause.fault = true;
  cause.steps = steps_for(cause.kind);
  trimmed.channels[0].causes.list.add(cause);
  const std::string text = summary_of(trimmed);
  ASSERT_TRUE(says(text, "turn the speed trimmer")) << text;
  EXPECT_LT(text.find(safety_text()), text.find("turn the speed trimmer"));  // said before
  Measurement told = measurement_of(fast_by(3.0, 0.01));
  Verdict verdict;
  verdict.rule = Rule::may_trim;
  told.channels[0].verdicts.add(verdict);
  EXPECT_TRUE(says(summary_of(told), safety_text()));
}

TEST(SongSummary, CautionsWhereItSendsSomebodyToTheMachine) {
  SongMeasurement found;
  found.match.reasons = {SongReason::too_quiet};
  EXPECT_FALSE(says(summary_of(found), safety_text()));
  EXPECT_FALSE(says(why_not_matched(found), safety_text()));
  found.match.reasons = {SongReason::not_steady};
  EXPECT_TRUE(says(summary_of(found), safety_text()));
  EXPECT_TRUE(says(why_not_matched(found), safety_text()));
}

TEST(MeasureJson, SaysNullForWhatWasNotMeasured) {
  const auto all = nlohmann::json::parse(to_json(measurement_of(Reading{})));
  const auto& channel = all.at("channels").at(0);
  for (const char* key : {"frequency_hz", "speed_error_percent", "u95_percent", "level_dbfs", "carrier_to_noise_dbhz"})
    EXPECT_TRUE(channel.at(key).is_null()) << key;
  EXPECT_TRUE(all.at("channels_agree").is_null());
  for (const char* key :
       {"weighted_two_sigma_percent", "weighted_quasi_peak_percent", "unweighted_two_sigma_percent",
        "weighted_rms_percent", "unweighted_rms_percent", "noise_floor_percent", "drift_percent_per_minute"})
    EXPECT_TRUE(channel.at("flutter").at(key).is_null()) << key;
  EXPECT_TRUE(channel.at("components").empty());
}

TEST(MeasureJson, KeepsEveryDigit) {
  const double percent = 1.2345678901234567;
  const auto all = nlohmann::json::parse(to_json(measurement_of(fast_by(percent, 1e-9))));
  EXPECT_EQ(all.at("channels").at(0).at("speed_error_percent").get<double>(), percent);
  EXPECT_EQ(all.at("channels").at(0).at("u95_percent").get<double>(), 1e-9);
}

TEST(MeasureJson, SurvivesFileNamesThatAreNotText) {
  auto measurement = measurement_of(Reading{});
  measurement.file = "a\xFF\xC3(\n\x01.wav";
  EXPECT_TRUE(nlohmann::json::accept(to_json(measurement)));
}

}  // namespace
}  // namespace four76::cli
