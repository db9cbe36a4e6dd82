// `four76 song` from the outside, as its users and their programs meet it.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tests/cli/four76_run.hpp"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"

namespace four76::test {
namespace {

using nlohmann::json;
using scenes::kPieceRate_hz;
using scenes::Manner;

Signal of(const std::vector<float>& samples) {
  return [samples](std::int64_t n) {
    return static_cast<std::size_t>(n) < samples.size() ? samples[static_cast<std::size_t>(n)] : 0.0F;
  };
}

// A reference of 60 s, and 25 s of it played 1.5 % fast.
void write_pair(const std::string& reference, const std::string& tape_file) {
  const auto piece = scenes::play_piece(Manner::band, 60.0, 61, {.seed = 3});
  scenes::SongTape tape;
  tape.error_percent = 1.5;
  tape.from_s = 12.0;
  tape.seconds = 25.0;
  tape.rate_hz = 16000.0;
  write_sound(reference, static_cast<int>(kPieceRate_hz), 60.0, {of(piece), of(piece)});
  write_sound(tape_file, 16000, 25.0, {of(record(piece, tape))});
}

TEST(SongCommand, TellsEveryField) {
  const Folder folder;
  const auto reference = folder.path("song.wav");
  const auto tape = folder.path("tape.wav");
  const auto trace = folder.path("trace.csv");
  write_pair(reference, tape);
  const auto outcome = four76({"song", reference, tape, "--json", "--trace", trace});
  ASSERT_EQ(outcome.exit_status, 0) << outcome.err;
  const json all = json::parse(outcome.out);
  EXPECT_EQ(all["schema"], "four76.song/1");
  EXPECT_EQ(all["status"], "matched");
  EXPECT_NEAR(all["speed_error_percent"].get<double>(), 1.5, 0.002);
  EXPECT_GT(all["u95_percent"].get<double>(), 0.00001);
  EXPECT_LT(all["u95_percent"].get<double>(), 0.002);
  EXPECT_NEAR(all["reference_start_s"].get<double>(), 12.0, 0.002);
  EXPECT_GT(all["matched_fraction"].get<double>(), 0.95);
  EXPECT_EQ(all["tolerance_percent"], 0.5);
  EXPECT_EQ(all["reference_rate_hz"], 24000);
  EXPECT_EQ(all["edits"], 0);
  EXPECT_EQ(all["reasons"].type(), json::value_t::array);
  const std::string rows = read_file(trace);
  EXPECT_EQ(rows.substr(0, rows.find('\n')), "time_s,status,frequency_hz,speed_error_percent,u95_percent");
  EXPECT_NEAR(lines_in(rows), 25 * 20, 12);
  EXPECT_NE(rows.find(",measured,"), std::string::npos);
}

TEST(SongCommand, SaysWhatItFoundInWords) {
  const Folder folder;
  const auto reference = folder.path("song.wav");
  const auto tape = folder.path("tape.wav");
  write_pair(reference, tape);
  const auto outcome = four76({"song", reference, tape});
  EXPECT_EQ(outcome.exit_status, 0) << outcome.err;
  EXPECT_NE(outcome.out.find("the same recording"), std::string::npos);
  EXPECT_NE(outcome.out.find("(runs fast)"), std::string::npos);
}

// Twelve seconds of a worn machine: known to some thousandths of a percent.
TEST(SongCommand, DoubtsWhatIsNotKnownToAFifthOfTheTolerance) {
  const Folder folder;
  const auto reference = folder.path("song.wav");
  const auto tape_file = folder.path("tape.wav");
  const auto piece = scenes::play_piece(Manner::piano, 40.0, 61, {.seed = 3});
  scenes::SongTape tape;
  tape.from_s = 12.0;
  tape.seconds = 12.0;
  tape.rate_hz = 16000.0;
  tape.wow = {{0.3, 0.2, 1.0}, {0.7, 0.2, 2.0}};
  write_sound(reference, static_cast<int>(kPieceRate_hz), 40.0, {of(piece)});
  write_sound(tape_file, 16000, 12.0, {of(record(piece, tape))});
  const auto run = [&](double tolerance) {
    return four76({"song", reference, tape_file, "--json", "--tolerance", std::to_string(tolerance)});
  };
  const auto usual = four76({"song", reference, tape_file, "--json"});
  ASSERT_EQ(usual.exit_status, 0) << usual.err;
  const double five_times = 5.0 * json::parse(usual.out)["u95_percent"].get<double>();
  ASSERT_GT(five_times, 0.011);  // no tolerance is smaller than 0.01 %
  EXPECT_EQ(run(1.02 * five_times).exit_status, 0);
  const auto narrow = run(0.98 * five_times);
  EXPECT_EQ(narrow.exit_status, 4);
  const json all = json::parse(narrow.out);
  EXPECT_EQ(all["status"], "unreliable");
  EXPECT_EQ(all["reasons"][0], "not_steady");
  EXPECT_TRUE(all["speed_error_percent"].is_number());
  EXPECT_NE(narrow.err.find("a fifth of the tolerance"), std::string::npos) << narrow.err;
}

TEST(SongCommand, LeavesWithFourWhereNothingMatches) {
  const Folder folder;
  const auto reference = folder.path("song.wav");
  const auto tape = folder.path("tape.wav");
  write_sound(reference, 16000, 20.0, {tone(440.0, 16000)});
  write_sound(tape, 16000, 20.0, {silence()});
  const auto quiet = four76({"song", reference, tape, "--json"});
  EXPECT_EQ(quiet.exit_status, 4);
  const json all = json::parse(quiet.out);
  EXPECT_EQ(all["status"], "not_matched");
  EXPECT_EQ(all["reasons"], json::array({"too_quiet"}));
  EXPECT_TRUE(all["speed_error_percent"].is_null());
  write_sound(tape, 16000, 3.0, {tone(440.0, 16000)});
  EXPECT_EQ(json::parse(four76({"song", reference, tape, "--json"}).out)["reasons"], json::array({"too_short"}));
}

TEST(SongCommand, RefusesBadFilesAndUsage) {
  const Folder folder;
  const auto good = folder.path("good.wav");
  const auto bad = folder.path("bad.wav");
  write_sound(good, 16000, 12.0, {tone(440.0, 16000)});
  write_file(bad, "no sound at all");
  EXPECT_EQ(four76({"song", good}).exit_status, 2);
  for (const char* tolerance : {"0", "0.009", "20.1", "-1", "nan", "wide"}) {
    const auto outcome = four76({"song", good, good, "--tolerance", tolerance});
    EXPECT_EQ(outcome.exit_status, 2) << tolerance;
    EXPECT_NE(outcome.err.find("--tolerance"), std::string::npos) << outcome.err;
  }
  EXPECT_EQ(four76({"song", good, bad}).exit_status, 3);
  EXPECT_EQ(four76({"song", bad, good}).exit_status, 3);
  EXPECT_EQ(four76({"song", good, folder.path("none.wav")}).exit_status, 3);
  EXPECT_EQ(four76({"song", good, good, "--trace", good}).exit_status, 3);
  EXPECT_EQ(read_file(good).substr(0, 4), "RIFF");
}

TEST(SongCommand, TellsThatAReferenceIsTooLong) {
  const Folder folder;
  const auto book = folder.path("book.wav");
  const auto tape = folder.path("tape.wav");
  write_sound(book, 8000, 603.0, {tone(440.0, 8000)});
  write_sound(tape, 8000, 12.0, {tone(440.0, 8000)});
  const auto outcome = four76({"song", book, tape});
  EXPECT_EQ(outcome.exit_status, 2);
  EXPECT_NE(outcome.err.find("10 minutes"), std::string::npos);
}

}  // namespace
}  // namespace four76::test
