// How the command line is used, and what it says when it is used wrongly.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "tests/cli/four76_run.hpp"

namespace four76::test {
namespace {

void expect_bad_usage(const std::vector<std::string>& arguments, std::string_view fault) {
  const auto outcome = four76(arguments);
  EXPECT_EQ(outcome.exit_status, 2) << outcome.err;
  EXPECT_EQ(outcome.out, "");
  EXPECT_EQ(lines_in(outcome.err), 1) << outcome.err;
  EXPECT_NE(outcome.err.find(fault), std::string::npos) << outcome.err;
}

TEST(Usage, HelpShowsExamplesAndExitStatus) {
  const auto all = four76({"--help"});
  EXPECT_EQ(all.exit_status, 0);
  for (const char* part : {"measure", "tone", "Examples", "Exit status"})
    EXPECT_NE(all.out.find(part), std::string::npos) << part;
  const auto measure = four76({"measure", "--help"});
  EXPECT_EQ(measure.exit_status, 0);
  for (const char* part :
       {"FILE", "--tone", "--clock-ppm", "--trace", "--json", "--tolerance", "--capstan-mm", "--tape", "Examples"})
    EXPECT_NE(measure.out.find(part), std::string::npos) << part;
  const auto tone = four76({"tone", "--help"});
  EXPECT_EQ(tone.exit_status, 0);
  for (const char* part : {"--tone", "--seconds", "--rate", "--level", "Examples"})
    EXPECT_NE(tone.out.find(part), std::string::npos) << part;
}

TEST(Usage, TellsItsVersion) {
  const auto outcome = four76({"--version"});
  EXPECT_EQ(outcome.exit_status, 0);
  EXPECT_EQ(outcome.out.rfind("four76 ", 0), 0u);
  EXPECT_EQ(lines_in(outcome.out), 1);
}

TEST(Usage, RefusesWhatItDoesNotKnow) {
  expect_bad_usage({}, "subcommand");
  expect_bad_usage({"weigh"}, "four76");
  expect_bad_usage({"--unknown"}, "four76");
  expect_bad_usage({"measure"}, "FILE");
  expect_bad_usage({"measure", "a.wav", "b.wav"}, "b.wav");
  expect_bad_usage({"measure", "a.wav", "--unknown"}, "--unknown");
  expect_bad_usage({"measure", "a.wav", "--trace"}, "--trace");
  expect_bad_usage({"tone", "a.wav"}, "--");
}

TEST(Usage, RefusesPartsThatNoMachineHas) {
  const Folder folder;
  const auto file = folder.path("t.wav");
  ASSERT_EQ(four76({"tone", file, "--tone", "3000", "--seconds", "1"}).exit_status, 0);
  expect_bad_usage({"measure", file, "--capstan-mm", "20"}, "A capstan is 0.8 to 8 mm thick");
  expect_bad_usage({"measure", file, "--roller-mm", "nan"}, "A pinch roller is 5 to 25 mm");
  expect_bad_usage({"measure", file, "--motor-rpm", "fast"}, "--motor-rpm");
  expect_bad_usage({"measure", file, "--belt-mm", "-300"}, "A belt is 30 to 1000 mm");
  expect_bad_usage({"measure", file, "--side-played", "101"}, "--side-played");
  expect_bad_usage({"measure", file, "--tape", "c46"}, "--tape");
  expect_bad_usage({"measure", file, "--tolerance", "0"}, "--tolerance takes 0.01 to 20 percent");
}

TEST(Usage, RefusesTonesThatCannotBeMeasured) {
  const Folder folder;
  ASSERT_EQ(four76({"tone", folder.path("t.wav"), "--tone", "3000", "--seconds", "1", "--rate", "8000"}).exit_status,
            0);
  for (const char* tone : {"99", "10001", "0", "-3000", "nan", "inf", "three", "3000Hz", ""})
    expect_bad_usage({"measure", folder.path("t.wav"), "--tone", tone}, "--tone");
  expect_bad_usage({"measure", folder.path("t.wav"), "--tone", "6300"}, "too high for the sample rate");
}

TEST(Usage, RefusesClocksThatAreNone) {
  const Folder folder;
  ASSERT_EQ(four76({"tone", folder.path("t.wav"), "--tone", "3000", "--seconds", "1", "--rate", "8000"}).exit_status,
            0);
  for (const char* ppm : {"1000.1", "-1001", "nan", "inf", "much", ""})
    expect_bad_usage({"measure", folder.path("t.wav"), "--clock-ppm", ppm}, "--clock-ppm");
  // The lowest and the highest rate have room for a clock's error.
  EXPECT_EQ(four76({"measure", folder.path("t.wav"), "--clock-ppm", "-1000"}).exit_status, 0);
}

TEST(Usage, NeverWritesTheTraceOverTheRecording) {
  const Folder folder;
  ASSERT_EQ(four76({"tone", folder.path("t.wav"), "--tone", "3000", "--seconds", "2"}).exit_status, 0);
  const std::string before = read_file(folder.path("t.wav"));
  const auto outcome = four76({"measure", folder.path("t.wav"), "--trace", folder.path("./t.wav")});
  EXPECT_EQ(outcome.exit_status, 3);
  EXPECT_NE(outcome.err.find("is the recording itself"), std::string::npos);
  EXPECT_EQ(read_file(folder.path("t.wav")), before);
}

TEST(Usage, TellsWhereTheTraceCannotBeWritten) {
  const Folder folder;
  ASSERT_EQ(four76({"tone", folder.path("t.wav"), "--tone", "3000", "--seconds", "2"}).exit_status, 0);
  for (const std::string& place : {folder.path("gone/t.csv"), folder.path("."), std::string("/dev/full")}) {
    const auto outcome = four76({"measure", folder.path("t.wav"), "--trace", place});
    EXPECT_EQ(outcome.exit_status, 3) << place;
    EXPECT_EQ(outcome.err.rfind("four76: " + place + ": ", 0), 0u) << outcome.err;
    EXPECT_EQ(lines_in(outcome.err), 1) << outcome.err;
  }
}

TEST(Usage, TellsWhereTheResultCannotBeWritten) {
  const Folder folder;
  ASSERT_EQ(four76({"tone", folder.path("t.wav"), "--tone", "3000", "--seconds", "2"}).exit_status, 0);
  const auto outcome = four76({"measure", folder.path("t.wav"), "--json"}, "/dev/full");
  EXPECT_EQ(outcome.exit_status, 3);
  EXPECT_EQ(lines_in(outcome.err), 1) << outcome.err;
}

}  // namespace
}  // namespace four76::test
