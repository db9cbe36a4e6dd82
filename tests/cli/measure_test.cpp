// `four76 measure` on files that can be measured, from the outside, as its users and their programs meet it.
#include <gtest/gtest.h>
#include <sndfile.h>

#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "core/demo/tape_simulator.hpp"
#include "tests/cli/four76_run.hpp"

namespace four76::test {
namespace {

using nlohmann::json;

json measured_json(std::vector<std::string> arguments, int exit_status = 0) {
  arguments.insert(arguments.begin(), "measure");
  arguments.push_back("--json");
  const auto outcome = four76(arguments);
  EXPECT_EQ(outcome.exit_status, exit_status) << outcome.err;
  return json::parse(outcome.out);
}

std::vector<std::vector<std::string>> rows_of(const std::string& csv) {
  std::vector<std::vector<std::string>> rows(1, std::vector<std::string>(1));
  for (const char c : csv) {
    if (c == '\n') {
      rows.emplace_back(1);
    } else if (c == ',') {
      rows.back().emplace_back();
    } else {
      rows.back().back() += c;
    }
  }
  rows.pop_back();
  return rows;
}

TEST(MeasureCommand, TellsEveryFieldOfOneChannel) {
  const Folder folder;
  const auto file = folder.path("tape.wav");
  write_sound(file, 48000, 12.0, {tone(3030.0, 48000, -20.0)});
  const json all = measured_json({file});
  EXPECT_EQ(all["schema"], "four76.measure/1");
  EXPECT_EQ(all["file"], file);
  EXPECT_EQ(all["sample_rate_hz"], 48000);
  EXPECT_NEAR(all["duration_s"].get<double>(), 12.0, 1e-9);
  EXPECT_EQ(all["tone_nominal_hz"], 3000);
  EXPECT_TRUE(all["channels_agree"].is_null());
  ASSERT_EQ(all["channels"].size(), 1u);
  const json& mono = all["channels"][0];
  EXPECT_EQ(mono["channel"], "mono");
  EXPECT_EQ(mono["status"], "measured");
  EXPECT_NEAR(mono["frequency_hz"].get<double>(), 3030.0, 1e-4);
  EXPECT_NEAR(mono["speed_error_percent"].get<double>(), 1.0, 1e-5);
  EXPECT_LT(mono["u95_percent"].get<double>(), 0.001);
  EXPECT_NEAR(mono["level_dbfs"].get<double>(), -20.0, 0.1);
  EXPECT_GT(mono["carrier_to_noise_dbhz"].get<double>(), 90.0);
  EXPECT_EQ(mono["reasons"], json::array());
  EXPECT_NEAR(100.0 * (mono["frequency_hz"].get<double>() / 3000.0 - 1.0), mono["speed_error_percent"].get<double>(),
              1e-9);
}

// A capstan of 2.5 mm turns 47.625 / (2.5 pi) = 6.064 times a second, a roller of 12 mm 1.263 times (derived).
TEST(MeasureCommand, NamesThePartThatIsAtFault) {
  const Folder folder;
  const auto file = folder.path("tape.wav");
  const auto swing = [](double t, double rate_hz, double peak_percent) {  // cycles
    return 3000.0 * peak_percent / 100.0 * std::sin(6.283185307179586 * rate_hz * t) / (6.283185307179586 * rate_hz);
  };
  write_sound(file, 48000, 40.0, {[&](std::int64_t n) {
                const double t = static_cast<double>(n) / 48000.0;
                const double cycles = 3000.0 * t + swing(t, 6.064, 0.3) + swing(t, 1.263, 1.2);
                return static_cast<float>(0.2 * std::sin(6.283185307179586 * (cycles - std::floor(cycles))));
              }});
  const json mono = measured_json({file, "--roller-mm", "12", "--capstan-mm", "2.5"})["channels"][0];
  ASSERT_EQ(mono["components"].size(), 2u);
  EXPECT_NEAR(mono["components"][0]["rate_hz"].get<double>(), 1.263, 0.002);
  EXPECT_NEAR(mono["components"][0]["peak_percent"].get<double>(), 1.2, 0.012);
  EXPECT_NEAR(mono["components"][1]["peak_percent"].get<double>(), 0.3, 0.003);
  ASSERT_EQ(mono["causes"].size(), 2u);
  const json& first = mono["causes"][0];
  EXPECT_EQ(first["cause"], "pinch_roller");
  EXPECT_EQ(first["fault"], true);
  EXPECT_EQ(first["sureness"], "likely");
  EXPECT_NEAR(first["share_percent"].get<double>(), 100.0 * 1.44 / 1.53, 1.0);
  EXPECT_NEAR(first["parts"][0]["diameter_mm"].get<double>(), 12.0, 0.05);
  EXPECT_GE(first["to_do"].size(), 2u);
  EXPECT_EQ(mono["causes"][1]["cause"], "capstan");
  EXPECT_EQ(mono["causes"][1]["fault"], false);
  EXPECT_TRUE(mono["no_causes_because"].is_null());
  ASSERT_EQ(mono["verdicts"].size(), 1u);
  EXPECT_EQ(mono["verdicts"][0]["rule"], "wow_beyond_usual");
  EXPECT_EQ(mono["verdicts"][0]["may_trim"], false);
  const auto summary = four76({"measure", file}).out;
  for (const char* part : {"weighted, 2-sigma", "misses what is usual", "1.26 Hz 1.2 %", "Pinch roller",
                           "Unplug the machine", "1. Plug and batteries out: Clean"})
    EXPECT_NE(summary.find(part), std::string::npos) << part << '\n' << summary;
}

// A recorder that runs 120 ppm fast: a true 3030 Hz is written as 3030 / 1.00012 Hz.
TEST(MeasureCommand, CorrectsForTheRecordersClockWhereItIsTold) {
  const Folder folder;
  const auto file = folder.path("tape.wav");
  write_sound(file, 48000, 8.0, {tone(3030.0 / 1.00012, 48000, -20.0)});
  const json plain = measured_json({file}), corrected = measured_json({file, "--clock-ppm", "120"});
  EXPECT_FALSE(plain.contains("clock_ppm"));
  EXPECT_NEAR(plain["channels"][0]["speed_error_percent"].get<double>(), 1.0 - 0.01212, 2e-5);
  EXPECT_EQ(corrected["clock_ppm"], 120.0);
  EXPECT_EQ(corrected["sample_rate_hz"], 48000);  // as the file states it
  EXPECT_NEAR(corrected["channels"][0]["frequency_hz"].get<double>(), 3030.0, 1e-4);
  EXPECT_NEAR(corrected["channels"][0]["speed_error_percent"].get<double>(), 1.0, 1e-5);
  EXPECT_EQ(measured_json({file, "--clock-ppm", "-34.25"})["clock_ppm"], -34.25);
  EXPECT_NE(four76({"measure", file, "--clock-ppm", "120"}).out.find("clock ran +120.00 ppm fast"), std::string::npos);
}

TEST(MeasureCommand, KeepsTheDecimalsOfAStatedTone) {
  const Folder folder;
  const auto file = folder.path("tape.wav");
  write_sound(file, 48000, 8.0, {tone(3003.27, 48000, -20.0)});
  const json all = measured_json({file, "--tone", "3003.27"});
  EXPECT_EQ(all["tone_nominal_hz"], 3003.27);
  EXPECT_NEAR(all["channels"][0]["speed_error_percent"].get<double>(), 0.0, 1e-5);
  EXPECT_NE(four76({"measure", file, "--tone", "3003.27"}).out.find("3003.27 Hz"), std::string::npos);
}

TEST(MeasureCommand, HoldsItsUncertaintyOnAWornMachine) {
  const Folder folder;
  for (const std::uint64_t seed : {1u, 2u, 3u}) {
    TapeSimulator::Config config;
    config.seed = seed;
    TapeSimulator tape(config);
    const auto file = folder.path("worn.wav");
    write_sound(file, 48000, 20.0, {[&tape](std::int64_t) {
                  float sample = 0.0f;
                  tape.render({&sample, 1});
                  return sample;
                }});
    const json mono = measured_json({file})["channels"][0];
    const double error_percent = 100.0 * (mono["frequency_hz"].get<double>() / tape.mean_frequency_hz() - 1.0);
    EXPECT_LT(std::abs(error_percent), 1.5 * mono["u95_percent"].get<double>()) << "seed " << seed;
    EXPECT_LT(mono["u95_percent"].get<double>(), 0.05);
  }
}

TEST(MeasureCommand, TakesTheTonesNominal) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 6.0, {tone(3150.0 * 0.99, 48000)});
  const json all = measured_json({folder.path("t.wav"), "--tone", "3150"});
  EXPECT_EQ(all["tone_nominal_hz"], 3150);
  EXPECT_NEAR(all["channels"][0]["speed_error_percent"].get<double>(), -1.0, 1e-4);
}

TEST(MeasureCommand, WarnsOfAnotherStandardTone) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 6.0, {tone(3150.5, 48000)});
  for (const std::vector<std::string>& tone_given : {std::vector<std::string>{}, {"--tone", "3000"}}) {
    std::vector<std::string> words = {"measure", folder.path("t.wav"), "--json"};
    words.insert(words.end(), tone_given.begin(), tone_given.end());
    const auto outcome = four76(words);
    EXPECT_EQ(outcome.exit_status, 4);
    const json mono = json::parse(outcome.out)["channels"][0];
    EXPECT_EQ(mono["status"], "unreliable");
    EXPECT_EQ(mono["reasons"][0], "wrong_tone");
    EXPECT_EQ(mono["other_tone_hz"], 3150);
    EXPECT_NEAR(mono["other_tone_error_percent"].get<double>(), 100.0 * 0.5 / 3150.0, 1e-4);
    EXPECT_TRUE(mono["causes"].empty());
    EXPECT_TRUE(mono["verdicts"].empty());
  }
  const auto summary = four76({"measure", folder.path("t.wav")});
  EXPECT_EQ(summary.out.find("trimmer"), std::string::npos) << summary.out;
  EXPECT_NE(summary.out.find("on a 3150 Hz tape it would be +0.02 %"), std::string::npos) << summary.out;
}

TEST(MeasureCommand, TakesTheTapesToneAtItsWordWhenSure) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 6.0, {tone(3150.0, 48000)});
  const json mono = measured_json({folder.path("t.wav"), "--tone", "3000", "--sure"})["channels"][0];
  EXPECT_NEAR(mono["speed_error_percent"].get<double>(), 5.0, 1e-4);
  EXPECT_TRUE(mono["other_tone_hz"].is_null());
  EXPECT_EQ(four76({"measure", folder.path("t.wav"), "--sure"}).exit_status, 2);  // sure of what?
}

// Two tones without wow: nothing tells them apart but whoever measures.
TEST(MeasureCommand, AsksWhichOfTwoSteadyTonesIsTheTapes) {
  const Folder folder;
  const auto low = tone(2990.0, 48000), high = tone(3015.0, 48000);
  write_sound(folder.path("t.wav"), 48000, 8.0, {[=](std::int64_t n) { return 0.5F * low(n) + high(n); }});
  const auto outcome = four76({"measure", folder.path("t.wav"), "--json"});
  EXPECT_EQ(outcome.exit_status, 4);
  const json asked = json::parse(outcome.out)["channels"][0];
  EXPECT_EQ(asked["reasons"][0], "competing_tone");
  ASSERT_EQ(asked["candidates_hz"].size(), 2u);
  EXPECT_NEAR(asked["candidates_hz"][0].get<double>(), 3015.0, 0.05);
  EXPECT_NEAR(asked["candidates_hz"][1].get<double>(), 2990.0, 0.05);
  for (const double hz : {2990.0, 3015.0}) {
    const json mono = measured_json({folder.path("t.wav"), "--near", std::to_string(hz + 2.0)})["channels"][0];
    EXPECT_NEAR(mono["frequency_hz"].get<double>(), hz, 0.01);
    EXPECT_NEAR(mono["taken_out_hz"].get<double>(), 6005.0 - hz, 0.05);
    EXPECT_EQ(mono["reasons"], json::array({"competing_tone"}));
  }
  EXPECT_EQ(four76({"measure", folder.path("t.wav"), "--near", "4000"}).exit_status, 2);
}

// JCGM 100:2008, 5.1.2: the root of the sum of squares. 100 ppm are assumed of a clock that nobody checked.
TEST(MeasureCommand, AddsClockAndTapeToTheBudget) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 8.0, {tone(3000.0, 48000)});
  const json plain = measured_json({folder.path("t.wav")})["channels"][0];
  const double own = plain["u95_percent"].get<double>();
  EXPECT_NEAR(plain["budget_u95_percent"].get<double>(), std::hypot(own, 0.01), 1e-6);
  const json stated =
      measured_json({folder.path("t.wav"), "--clock-u95-ppm", "5", "--tape-tolerance", "0.1"})["channels"][0];
  EXPECT_NEAR(stated["budget_u95_percent"].get<double>(), std::hypot(own, 0.0005, 0.1), 1e-6);
  const auto summary = four76({"measure", folder.path("t.wav")}).out;
  const auto first = summary.find("\u00b1");
  EXPECT_EQ(summary.compare(first, std::string("\u00b1 0.010 %").size(), "\u00b1 0.010 %"), 0) << summary;
  EXPECT_EQ(four76({"measure", folder.path("t.wav"), "--tape-tolerance", "-1"}).exit_status, 2);
}

TEST(MeasureCommand, ReadsEveryKindOfFile) {
  const Folder folder;
  const std::vector<std::pair<std::string, int>> kinds = {
      {"u8.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_U8},     {"16.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16},
      {"32.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_32},     {"float.wav", SF_FORMAT_WAV | SF_FORMAT_FLOAT},
      {"double.wav", SF_FORMAT_WAV | SF_FORMAT_DOUBLE}, {"ext.wav", SF_FORMAT_WAVEX | SF_FORMAT_PCM_24},
      {"big.wav", SF_FORMAT_RF64 | SF_FORMAT_PCM_16},   {"16.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16},
      {"24.aiff", SF_FORMAT_AIFF | SF_FORMAT_PCM_24},   {"vorbis.ogg", SF_FORMAT_OGG | SF_FORMAT_VORBIS}};
  for (const auto& [name, format] : kinds) {
    write_sound(folder.path(name), 44100, 5.0, {tone(2985.0, 44100), tone(2985.0, 44100)}, format);
    const auto outcome = four76({"measure", folder.path(name), "--json"});
    EXPECT_EQ(outcome.exit_status, 0) << name << outcome.err;
    EXPECT_EQ(outcome.err, "") << name;
    const json all = json::parse(outcome.out);
    for (const json& channel : all["channels"])
      EXPECT_NEAR(channel["speed_error_percent"].get<double>(), -0.5, 1e-3) << name;
  }
}

TEST(MeasureCommand, ReadsEverySampleRate) {
  const Folder folder;
  for (const int rate_hz : {8000, 11025, 16000, 22050, 32000, 44100, 48000, 88200, 96000, 192000}) {
    write_sound(folder.path("t.wav"), rate_hz, 4.0, {tone(3003.0, rate_hz)});
    const json all = measured_json({folder.path("t.wav")});
    EXPECT_EQ(all["sample_rate_hz"], rate_hz);
    EXPECT_NEAR(all["channels"][0]["speed_error_percent"].get<double>(), 0.1, 1e-4) << rate_hz;
  }
}

TEST(MeasureCommand, MeasuresBothChannelsAndTellsThatTheyAgree) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 6.0, {tone(3030.0, 48000), tone(3030.0, 48000)});
  const json all = measured_json({folder.path("t.wav")});
  ASSERT_EQ(all["channels"].size(), 2u);
  EXPECT_EQ(all["channels"][0]["channel"], "left");
  EXPECT_EQ(all["channels"][1]["channel"], "right");
  EXPECT_EQ(all["channels_agree"], true);
}

TEST(MeasureCommand, TellsThatTheChannelsDiffer) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 6.0, {tone(3000.0, 48000), tone(3009.0, 48000)});
  const auto outcome = four76({"measure", folder.path("t.wav"), "--json"});
  const json all = json::parse(outcome.out);
  EXPECT_EQ(all["channels_agree"], false);
  EXPECT_NEAR(all["channels"][1]["frequency_hz"].get<double>(), 3009.0, 0.01);
}

TEST(MeasureCommand, MeasuresTheChannelThatHasATone) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 6.0, {silence(), tone(3015.0, 48000)});
  const json all = measured_json({folder.path("t.wav"), "--trace", folder.path("t.csv")});
  EXPECT_EQ(all["channels"][0]["status"], "no_tone");
  EXPECT_TRUE(all["channels"][0]["frequency_hz"].is_null());
  EXPECT_EQ(all["channels"][1]["status"], "measured");
  EXPECT_TRUE(all["channels_agree"].is_null());
  const auto rows = rows_of(read_file(folder.path("t.csv")));
  EXPECT_NEAR(std::stod(rows.back()[3]), 0.5, 0.01) << "the trace is the right channel's";
}

TEST(MeasureCommand, TracesTheDialTwentyTimesASecond) {
  const Folder folder;
  // Silence for two seconds, then the tone.
  write_sound(folder.path("t.wav"), 48000, 6.0,
              {[t = tone(3030.0, 48000)](std::int64_t n) { return n < 96000 ? 0.0f : t(n); }});
  measured_json({folder.path("t.wav"), "--trace", folder.path("t.csv")});
  const auto rows = rows_of(read_file(folder.path("t.csv")));
  EXPECT_EQ(rows[0],
            (std::vector<std::string>{"time_s", "status", "frequency_hz", "speed_error_percent", "u95_percent"}));
  EXPECT_NEAR(static_cast<double>(rows.size() - 1), 120.0, 2.0);
  double last_s = 0.0;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    ASSERT_EQ(rows[i].size(), 5u);
    const double time_s = std::stod(rows[i][0]);
    if (i > 1) {
      EXPECT_NEAR(time_s - last_s, 0.05, 0.002);
    }
    last_s = time_s;
    if (time_s < 2.0) {
      EXPECT_EQ(rows[i], (std::vector<std::string>{rows[i][0], "no_tone", "", "", ""}));
    }
    if (time_s > 3.0) {
      EXPECT_NEAR(std::stod(rows[i][2]), 3030.0, 0.1);
      EXPECT_NEAR(std::stod(rows[i][3]), 1.0, 0.01);
      EXPECT_GT(std::stod(rows[i][4]), 0.0);
    }
  }
}

TEST(MeasureCommand, SummaryNamesWhatWasMeasured) {
  const Folder folder;
  write_sound(folder.path("tape.wav"), 48000, 6.0, {tone(3030.0, 48000), tone(3030.0, 48000, -13.0)});
  const auto outcome = four76({"measure", folder.path("tape.wav")});
  EXPECT_EQ(outcome.exit_status, 0);
  EXPECT_EQ(outcome.err, "");
  for (const char* part : {"tape.wav", "stereo, 48000 Hz, 6.00 s", "left: measured", "right: measured", "+1.0",
                           "runs fast", "cents", "3030.0", "left and right agree"})
    EXPECT_NE(outcome.out.find(part), std::string::npos) << part << "\n" << outcome.out;
}

// A mono source on two channels: that they agree proves nothing about the other channel of the machine.
TEST(MeasureCommand, TellsTwoChannelsFromOneTwice) {
  const Folder folder;
  write_sound(folder.path("mono.wav"), 48000, 3.0, {tone(3030.0, 48000), tone(3030.0, 48000)});
  write_sound(folder.path("stereo.wav"), 48000, 3.0, {tone(3030.0, 48000), tone(3030.0, 48000, -13.0)});
  EXPECT_NE(four76({"measure", folder.path("mono.wav")}).out.find("same samples"), std::string::npos);
  const auto mono = json::parse(four76({"measure", folder.path("mono.wav"), "--json"}).out);
  const auto stereo = json::parse(four76({"measure", folder.path("stereo.wav"), "--json"}).out);
  EXPECT_EQ(mono["channels_identical"], true);
  EXPECT_EQ(stereo["channels_identical"], false);
}

TEST(MeasureCommand, TakesFileNamesAsTheyCome) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 2.0, {tone(3000.0, 48000)});
  const std::string sound = read_file(folder.path("t.wav"));
  for (const char* name :
       {"with space.wav", "B\xC3\xA4nder.wav", "broken\xFFname.wav", "two\nlines.wav", "quote\".wav", "noending"}) {
    write_file(folder.path(name), sound);
    const auto outcome = four76({"measure", folder.path(name), "--json"});
    EXPECT_EQ(outcome.exit_status, 0) << name;
    EXPECT_TRUE(json::accept(outcome.out)) << name;
    EXPECT_EQ(four76({"measure", folder.path(name)}).exit_status, 0) << name;
  }
}

#if !defined(FOUR76_SANITIZED)  // which keeps freed memory for a while
TEST(MeasureCommand, NeedsNoMoreMemoryForALongFile) {
  const Folder folder;
  write_sound(folder.path("short.wav"), 8000, 10.0, {tone(3000.0, 8000), tone(3000.0, 8000)});
  write_sound(folder.path("long.wav"), 8000, 900.0, {tone(3000.0, 8000), tone(3000.0, 8000)});  // 43 MB
  const auto little = four76({"measure", folder.path("short.wav")}),
             much = four76({"measure", folder.path("long.wav")});
  EXPECT_EQ(much.exit_status, 0);
  EXPECT_LT(much.peak_memory_kib, little.peak_memory_kib + 4096);
}
#endif

}  // namespace
}  // namespace four76::test
