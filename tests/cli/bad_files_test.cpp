// `four76 measure` on everything that is not a good recording: one line that names file and fault, the exit status that
// core/cli/exit_status.hpp gives it, never a crash.
#include <gtest/gtest.h>
#include <sndfile.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tests/cli/four76_run.hpp"

namespace four76::test {
namespace {

using nlohmann::json;

// One line, beginning with the program's and the file's names.
void expect_one_line_about(const std::string& file, const Outcome& outcome) {
  EXPECT_EQ(lines_in(outcome.err), 1) << outcome.err;
  EXPECT_EQ(outcome.err.rfind("four76: " + file + ": ", 0), 0u) << outcome.err;
}

void expect_unreadable(const std::string& file, std::string_view fault) {
  for (const bool as_json : {false, true}) {
    const auto outcome = as_json ? four76({"measure", file, "--json"}) : four76({"measure", file});
    EXPECT_EQ(outcome.exit_status, 3) << file;
    EXPECT_EQ(outcome.out, "") << file;
    expect_one_line_about(file, outcome);
    EXPECT_NE(outcome.err.find(fault), std::string::npos) << outcome.err;
  }
}

// Exit status 4 with a JSON object whose first channel has the status and reason.
void expect_no_reading(const std::string& file, std::string_view status, std::string_view reason) {
  const auto outcome = four76({"measure", file, "--json"});
  EXPECT_EQ(outcome.exit_status, 4) << file;
  expect_one_line_about(file, outcome);
  const json channel = json::parse(outcome.out)["channels"][0];
  EXPECT_EQ(channel["status"], status);
  const json& reasons = channel["reasons"];
  EXPECT_NE(std::find(reasons.begin(), reasons.end(), reason), reasons.end()) << outcome.out;
}

TEST(BadFile, Missing) { expect_unreadable(Folder().path("gone.wav"), "does not exist"); }
TEST(BadFile, MissingFolder) { expect_unreadable(Folder().path("gone/gone.wav"), "does not exist"); }
TEST(BadFile, Directory) {
  const Folder folder;
  expect_unreadable(folder.path("."), "is a folder");
}
TEST(BadFile, Empty) {
  const Folder folder;
  write_file(folder.path("e.wav"), "");
  expect_unreadable(folder.path("e.wav"), "is empty");
}
TEST(BadFile, NotAudio) {
  const Folder folder;
  write_file(folder.path("letter.wav"), "Dear friend,\nthis is a letter and no sound at all.\n");
  expect_unreadable(folder.path("letter.wav"), "is not a sound file");
  write_file(folder.path("noise.bin"), std::string(100000, '\x5a'));
  expect_unreadable(folder.path("noise.bin"), "is not a sound file");
}
TEST(BadFile, Pipe) {
  const Folder folder;
  ASSERT_EQ(mkfifo(folder.path("pipe").c_str(), 0600), 0);
  expect_unreadable(folder.path("pipe"), "save the sound to a file");
}
TEST(BadFile, NotPermitted) {
  if (geteuid() == 0) GTEST_SKIP() << "root may read everything";
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 1.0, {tone(3000.0, 48000)});
  chmod(folder.path("t.wav").c_str(), 0);
  expect_unreadable(folder.path("t.wav"), "may not be read");
}
TEST(BadFile, HeaderAlone) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 0.0, {silence()});
  expect_unreadable(folder.path("t.wav"), "holds no sound");
}
TEST(BadFile, ThreeChannels) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 2.0, {tone(3000.0, 48000), silence(), silence()});
  expect_unreadable(folder.path("t.wav"), "has 3 channels");
}
TEST(BadFile, SampleRateTooLowOrTooHigh) {
  const Folder folder;
  write_sound(folder.path("low.wav"), 4000, 2.0, {silence()});
  expect_unreadable(folder.path("low.wav"), "4000 Hz");
  write_sound(folder.path("high.wav"), 384000, 1.0, {tone(3000.0, 384000)});
  expect_unreadable(folder.path("high.wav"), "384000 Hz");
}

TEST(BadFile, CutOffFilesAreMeasuredAsFarAsTheyGo) {
  const Folder folder;
  for (const auto& [name, format] : {std::pair{"t.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16},
                                     {"t.aiff", SF_FORMAT_AIFF | SF_FORMAT_PCM_16},
                                     {"t.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16}}) {
    write_sound(folder.path(name), 48000, 8.0, {tone(3015.0, 48000)}, format);
    const std::string whole = read_file(folder.path(name));
    write_file(folder.path(name), whole.substr(0, whole.size() * 3 / 4 + 1));
    const auto outcome = four76({"measure", folder.path(name), "--json"});
    EXPECT_EQ(outcome.exit_status, 0) << name;
    expect_one_line_about(folder.path(name), outcome);
    EXPECT_NE(outcome.err.find("its header promises more"), std::string::npos) << outcome.err;
    const json all = json::parse(outcome.out);
    EXPECT_NEAR(all["duration_s"].get<double>(), 6.0, 0.3) << name;
    EXPECT_NEAR(all["channels"][0]["speed_error_percent"].get<double>(), 0.5, 0.001) << name;
  }
}

TEST(BadFile, HeaderWithoutAnySoundThatCanBeDecoded) {
  const Folder folder;
  write_sound(folder.path("t.flac"), 48000, 2.0, {tone(3000.0, 48000)}, SF_FORMAT_FLAC | SF_FORMAT_PCM_16);
  std::string bytes = read_file(folder.path("t.flac"));
  const auto frames = bytes.find("\xFF\xF8", 42);  // the first frame's sync code, behind the stream's description
  ASSERT_NE(frames, std::string::npos);
  std::fill(bytes.begin() + static_cast<std::ptrdiff_t>(frames), bytes.end(), '\0');
  write_file(folder.path("t.flac"), bytes);
  expect_unreadable(folder.path("t.flac"), "damaged");
}

// The address sanitizer's own memory counts with the program's: it keeps 256 MB of what was freed, as its documentation
// says of quarantine_size_mb. The build under it is clang's; other compilers do not know the word.
#ifndef __has_feature
#define __has_feature(feature) 0
#endif
constexpr bool kSanitized = __has_feature(address_sanitizer);

TEST(BadFile, HeaderThatClaimsGigabytes) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 5.0, {tone(3000.0, 48000)});
  std::string bytes = read_file(folder.path("t.wav"));
  const auto data = bytes.find("data");
  bytes.replace(data + 4, 4, "\xF0\xFF\xFF\x7F");
  write_file(folder.path("t.wav"), bytes);
  const auto outcome = four76({"measure", folder.path("t.wav"), "--json"});
  EXPECT_EQ(outcome.exit_status, 0);
  expect_one_line_about(folder.path("t.wav"), outcome);
  EXPECT_NEAR(json::parse(outcome.out)["duration_s"].get<double>(), 5.0, 1e-6);
  if (!kSanitized) {
    EXPECT_LT(outcome.peak_memory_kib, 400 * 1024);
  }

  write_file(folder.path("nothing.wav"), bytes.substr(0, data + 8));
  const auto nothing = four76({"measure", folder.path("nothing.wav")});
  EXPECT_EQ(nothing.exit_status, 3) << nothing.out << nothing.err;
  expect_one_line_about(folder.path("nothing.wav"), nothing);
}

// Too little is left to be opened (exit status 3, and nothing is printed), or it opens and is too short for a number
// (4).
void expect_cut_short(const std::string& file, const std::string& what) {
  const auto outcome = four76({"measure", file, "--json"});
  EXPECT_LE(lines_in(outcome.err), 2) << outcome.err;
  EXPECT_NE(outcome.err.find(file), std::string::npos) << what << ": " << outcome.err;
  if (outcome.exit_status == 3) {
    EXPECT_EQ(outcome.out, "") << what;
    return;
  }
  EXPECT_EQ(outcome.exit_status, 4) << what;
  const json reading = json::parse(outcome.out, nullptr, false);
  ASSERT_TRUE(reading.contains("channels")) << what << ": " << outcome.out;
  for (const json& channel : reading["channels"]) EXPECT_NE(channel.at("status"), "measured") << what;
}

TEST(BadFile, CutOffAnywhereGivesNoNumber) {
  const Folder folder;
  for (const auto& [name, format] : {std::pair{"t.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16},
                                     {"x.wav", SF_FORMAT_WAVEX | SF_FORMAT_FLOAT},
                                     {"t.aiff", SF_FORMAT_AIFF | SF_FORMAT_PCM_16},
                                     {"t.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16},
                                     {"t.ogg", SF_FORMAT_OGG | SF_FORMAT_VORBIS}}) {
    write_sound(folder.path(name), 8000, 0.5, {tone(3000.0, 8000)}, format);
    const std::string whole = read_file(folder.path(name));
    for (const std::size_t size : {1u, 4u, 8u, 11u, 12u, 16u, 20u, 30u, 36u, 43u, 44u, 45u, 60u, 100u, 1000u, 4000u}) {
      if (size >= whole.size()) continue;
      write_file(folder.path("cut"), whole.substr(0, size));
      expect_cut_short(folder.path("cut"), name + (" cut to " + std::to_string(size)));
    }
  }
}

TEST(BadFile, Silence) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 5.0, {silence(), silence()});
  expect_no_reading(folder.path("t.wav"), "no_tone", "no_tone");
  const json all = json::parse(four76({"measure", folder.path("t.wav"), "--json"}).out);
  for (const json& channel : all["channels"])
    for (const char* key : {"frequency_hz", "speed_error_percent", "u95_percent"})
      EXPECT_TRUE(channel.at(key).is_null()) << key;
  EXPECT_TRUE(all.at("channels_agree").is_null());
}

TEST(BadFile, TooShort) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 0.1, {tone(3000.0, 48000)});
  const auto outcome = four76({"measure", folder.path("t.wav"), "--json"});
  EXPECT_EQ(outcome.exit_status, 4);
  expect_one_line_about(folder.path("t.wav"), outcome);
  const json reasons = json::parse(outcome.out)["channels"][0]["reasons"];
  EXPECT_NE(std::find(reasons.begin(), reasons.end(), "too_short"), reasons.end()) << outcome.out;
  write_sound(folder.path("one.wav"), 48000, 1.0 / 48000.0, {tone(3000.0, 48000)});
  EXPECT_EQ(four76({"measure", folder.path("one.wav")}).exit_status, 4);
}

TEST(BadFile, SamplesThatAreNotNumbers) {
  const Folder folder;
  const float nan = std::numeric_limits<float>::quiet_NaN(), inf = std::numeric_limits<float>::infinity();
  const auto nothing_else = [nan](std::int64_t) { return nan; };
  write_sound(folder.path("all.wav"), 48000, 2.0, {nothing_else}, SF_FORMAT_WAV | SF_FORMAT_FLOAT);
  const auto all = four76({"measure", folder.path("all.wav"), "--json"});
  EXPECT_EQ(all.exit_status, 4);
  EXPECT_NE(all.err.find("not numbers"), std::string::npos) << all.err;
  EXPECT_TRUE(json::accept(all.out));

  const auto some = [=, t = tone(3000.0, 48000)](std::int64_t n) {
    return n == 96000 ? nan : n == 96001 ? -inf : t(n);
  };
  write_sound(folder.path("some.wav"), 48000, 8.0, {some}, SF_FORMAT_WAV | SF_FORMAT_FLOAT);
  const auto few = four76({"measure", folder.path("some.wav"), "--json"});
  EXPECT_NE(few.err.find("has 2 samples that are not numbers"), std::string::npos) << few.err;
  const json channel = json::parse(few.out)["channels"][0];
  EXPECT_EQ(few.exit_status, 0);
  EXPECT_EQ(channel["status"], "measured");
  EXPECT_NEAR(channel["frequency_hz"].get<double>(), 3000.0, 0.01);
}

TEST(BadFile, HugeSamplesDoNotCrash) {
  const Folder folder;
  write_sound(folder.path("t.wav"), 48000, 2.0, {[t = tone(3000.0, 48000)](std::int64_t n) { return t(n) * 1e37f; }},
              SF_FORMAT_WAV | SF_FORMAT_FLOAT);
  // No sound that a converter makes: nothing may be read from it.
  expect_no_reading(folder.path("t.wav"), "no_tone", "no_tone");
}

}  // namespace
}  // namespace four76::test
