// What a match comes to for a tolerance.
#include "core/song/song_match.hpp"

#include <gtest/gtest.h>

#include <utility>
#include <vector>

namespace four76 {
namespace {

SongMatch match_of(SongStatus status, std::vector<SongReason> reasons, double u95_percent) {
  SongMatch match;
  match.status = status;
  match.reasons = std::move(reasons);
  match.fit.emplace().u95_percent = u95_percent;
  return match;
}

// What is not known to a fifth of the tolerance is no speed for it, and is one for a wider tolerance.
TEST(SongMatch, IsHeldAgainstTheTolerance) {
  SongMatch match = match_of(SongStatus::matched, {SongReason::tape_edit}, 0.03);
  hold_against(match, 0.5);
  EXPECT_EQ(match.status, SongStatus::matched);
  hold_against(match, 0.1);
  EXPECT_EQ(match.status, SongStatus::unreliable);
  EXPECT_EQ(match.reasons, (std::vector{SongReason::not_steady, SongReason::tape_edit}));
  hold_against(match, 0.2);
  EXPECT_EQ(match.status, SongStatus::matched);
  EXPECT_EQ(match.reasons, std::vector{SongReason::tape_edit});
}

TEST(SongMatch, NamesLostSamplesFirstWhereTheyWidenIt) {
  SongMatch match = match_of(SongStatus::matched, {SongReason::tape_edit, SongReason::capture_gap}, 0.2);
  hold_against(match, 0.5);
  EXPECT_EQ(match.reasons, (std::vector{SongReason::capture_gap, SongReason::not_steady, SongReason::tape_edit}));
}

TEST(SongMatch, StaysDoubtfulForOtherReasonsAtAnyTolerance) {
  SongMatch match = match_of(SongStatus::unreliable, {SongReason::capture_gap}, 0.001);
  hold_against(match, 5.0);
  EXPECT_EQ(match.status, SongStatus::unreliable);
  SongMatch none;
  hold_against(none, 5.0);
  EXPECT_EQ(none.status, SongStatus::not_matched);
}

}  // namespace
}  // namespace four76
