// Tapes that vote: what they have in common is the machine's, what one has alone is that tape's.
#include "core/bench/tape_vote.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace four76 {
namespace {

TapeVotes of(std::initializer_list<double> errors, double u95_percent = 0.01) {
  std::vector<TapeVote> votes;
  for (const double error : errors) votes.push_back({error, u95_percent});
  return count_votes(votes);
}

TEST(TapeVote, ThreeThatAgreeNameTheMachineAndTheFourthItself) {
  const TapeVotes counted = of({0.9, 1.1, 2.6, 1.0});
  EXPECT_EQ(counted.verdict, VoteVerdict::machine);
  EXPECT_EQ(counted.agreeing, (std::vector<std::size_t>{0, 1, 3}));
  EXPECT_EQ(counted.apart, (std::vector<std::size_t>{2}));
  EXPECT_NEAR(*counted.machine_percent, 1.0, 1e-12);
  EXPECT_NEAR(*counted.median_percent, 1.05, 1e-12);
  EXPECT_NEAR(*counted.spread_percent, 1.4826 * 0.1, 1e-9);
  EXPECT_GT(*counted.machine_u95_percent, 0.1);  // three tapes are few
  EXPECT_LT(*counted.machine_u95_percent, 0.6);
}

TEST(TapeVote, FewerThanThreeNameNoMachine) {
  EXPECT_EQ(of({}).verdict, VoteVerdict::none);
  EXPECT_FALSE(of({}).median_percent);
  EXPECT_EQ(of({1.0}).verdict, VoteVerdict::one);
  EXPECT_FALSE(of({1.0}).spread_percent);
  EXPECT_EQ(of({1.0, 1.1}).verdict, VoteVerdict::two_agree);
  EXPECT_EQ(of({1.0, 2.0}).verdict, VoteVerdict::two_differ);
  for (const auto& counted : {of({1.0}), of({1.0, 1.1}), of({1.0, 2.0})}) EXPECT_FALSE(counted.machine_percent);
}

TEST(TapeVote, TwoOfThreeSayLessThanThree) {
  const TapeVotes counted = of({-0.4, 1.9, -0.5});
  EXPECT_EQ(counted.verdict, VoteVerdict::two_of_three);
  EXPECT_EQ(counted.apart, (std::vector<std::size_t>{1}));
  EXPECT_NEAR(*counted.machine_percent, -0.45, 1e-12);
}

TEST(TapeVote, TwoCampsAndAWildCrowdNameNothing) {
  for (const auto& counted : {of({0.0, 0.0, 2.0, 2.0}), of({-2.0, -0.7, 0.6, 2.1, 3.0}), of({0.0, 1.0, 2.0})}) {
    EXPECT_EQ(counted.verdict, VoteVerdict::scattered);
    EXPECT_FALSE(counted.machine_percent);
    EXPECT_TRUE(counted.median_percent && counted.spread_percent);
  }
}

TEST(TapeVote, TapesThatAgreeToAHairDoNotCastOutAGoodOne) {
  EXPECT_TRUE(of({1.0, 1.0, 1.0, 1.2}).apart.empty());
  EXPECT_EQ(of({1.0, 1.0, 1.0, 1.6}).apart.size(), 1u);
}

TEST(TapeVote, AnUncertainTapeIsNotCastOutForWhatItDoesNotKnow) {
  std::vector<TapeVote> votes = {{1.0, 0.01}, {1.1, 0.01}, {0.9, 0.01}, {1.8, 0.01}};
  EXPECT_EQ(count_votes(votes).apart.size(), 1u);
  votes[3].u95_percent = 0.8;
  EXPECT_TRUE(count_votes(votes).apart.empty());
}

TEST(TapeVote, FewerThanHalfMaySayAnything) {
  EXPECT_NEAR(*of({0.5, 0.6, 0.4, 25.0, -25.0}).machine_percent, 0.5, 1e-12);
}

// Oracle: tapes drawn about a machine whose error is known.
TEST(TapeVote, HoldsTheMachineInNineteenOfTwentyCases) {
  std::mt19937 random(76);
  std::normal_distribution<> tape(0.0, 0.15);
  int held = 0, named = 0;
  for (int trial = 0; trial < 2000; ++trial) {
    const double machine = 0.01 * (trial % 300) - 1.5;
    std::vector<TapeVote> votes;
    for (int i = 0; i < 3 + trial % 5; ++i) votes.push_back({machine + tape(random), 0.01});
    const TapeVotes counted = count_votes(votes);
    if (!counted.machine_percent) continue;
    ++named;
    held += std::fabs(*counted.machine_percent - machine) <= *counted.machine_u95_percent;
  }
  EXPECT_GT(named, 1900);
  EXPECT_GT(held, 0.95 * named);
  EXPECT_LT(held, 0.985 * named);  // three tapes and more in one rule: not exact for each, but never far too wide
}

}  // namespace
}  // namespace four76
