// The votes' part of words: what may be wrong with a song or a tape, and what several tapes say together.
#include <algorithm>
#include <array>
#include <cmath>

#include "web/words.hpp"

namespace four76::words {
namespace {

int vote_decimals(const TapeVote& vote) { return std::clamp(supported_decimals(vote.u95_percent, 2), 1, 2); }

std::string count_name(std::size_t count) {
  static constexpr std::array<std::string_view, 10> kNames = {"No",   "One", "Two",   "Three", "Four",
                                                              "Five", "Six", "Seven", "Eight", "Nine"};
  return count < kNames.size() ? std::string(kNames[count]) : std::to_string(count);
}

// "+0.9, +1.1 and +1.0 %"
std::string list_of(std::span<const TapeVote> votes, const std::vector<std::size_t>& which) {
  std::string text;
  for (std::size_t i = 0; i < which.size(); ++i) {
    if (i > 0) text += i + 1 == which.size() ? " and " : ", ";
    text += signed_fixed(votes[which[i]].speed_error_percent, 1);
  }
  return text + " %";
}

std::string say(std::span<const TapeVote> votes, const std::vector<std::size_t>& which) {
  return count_name(which.size()) + (which.size() == 1 ? " tape says " : " tapes say ") + list_of(votes, which);
}

std::string apart_said(std::span<const TapeVote> votes, const TapeVotes& counted, std::string_view whose) {
  if (counted.apart.empty()) return "";
  const bool one = counted.apart.size() == 1;
  std::string text = " ";
  text += count_name(counted.apart.size());
  text += one ? " says " : " say ";
  text += list_of(votes, counted.apart);
  text.append(": ").append(whose);
  return text += one ? "that tape." : "those tapes.";
}

std::string machine_said(const TapeVotes& counted) {
  const double u95 = *counted.machine_u95_percent;
  const int decimals = std::max(1, supported_decimals(u95, 2));
  return signed_fixed(*counted.machine_percent, decimals) + " " + plus_minus(u95, decimals) + " %";
}

std::vector<std::size_t> all_of(std::size_t count) {
  std::vector<std::size_t> all(count);
  for (std::size_t i = 0; i < count; ++i) all[i] = i;
  return all;
}

}  // namespace

std::string vote_sentence(std::span<const TapeVote> votes) {
  const TapeVotes counted = count_votes(votes);
  switch (counted.verdict) {
    case VoteVerdict::none: return "No tape is kept yet for this machine.";
    case VoteVerdict::one:
      return say(votes, all_of(1)) + ". Its own error and the machine's cannot be told apart: keep two more.";
    case VoteVerdict::two_agree: return say(votes, all_of(2)) + ". Two are too few to be sure: a third one tells.";
    case VoteVerdict::two_differ:
      return say(votes, all_of(2)) + ": one of them is off, and nobody can tell which. Keep a third one.";
    case VoteVerdict::two_of_three:
      return say(votes, counted.agreeing) + ": perhaps your machine, " + machine_said(counted) + "." +
             apart_said(votes, counted, "perhaps ") + " One more tape makes it surer.";
    case VoteVerdict::machine:
      return say(votes, counted.agreeing) + ": your machine, most likely, " + machine_said(counted) + "." +
             apart_said(votes, counted, "");
    case VoteVerdict::scattered:
      return say(votes, all_of(votes.size())) +
             ": they differ too much to say anything of the machine. More tapes help, of other makers, or a speed "
             "tape.";
  }
  return "";
}

std::string vote_summary(std::span<const TapeVote> votes) {
  const TapeVotes counted = count_votes(votes);
  if (!counted.median_percent) return "";
  std::string text = "Median " + signed_fixed(*counted.median_percent, 2) + " %";
  if (counted.spread_percent) text += ", spread " + fixed(*counted.spread_percent, 2) + " %";
  return text + ", " + std::to_string(votes.size()) + (votes.size() == 1 ? " tape" : " tapes");
}

std::string vote_amount(const TapeVote& vote) {
  const int decimals = vote_decimals(vote);
  return signed_fixed(vote.speed_error_percent, decimals) + " " + plus_minus(vote.u95_percent, decimals) + " %";
}

std::string vote_offer(const Model& model) {
  if (!can_keep_tape(model)) return "A result can be kept while it is on show.";
  const Reading& reading = *judged_reading(model);
  const auto all = budget(model);
  const double u95 = all && all->terms.sum_percent ? *all->terms.sum_percent : *reading.u95_percent;
  return "This tape says " + vote_amount({*reading.speed_error_percent, u95}) + ".";
}

std::string_view tape_needs_name() noexcept { return "Give the tape a name of one line."; }

std::span<const std::string_view> song_truth() noexcept {
  static constexpr std::array<std::string_view, 4> kTruth = {
      "A bought cassette was copied at a speed that is itself a little off, and it may hold another mix or a cut "
      "version. "
      "A tape recorded at home carries the error of the machine that recorded it; played on that same machine it shows "
      "nothing of it.",
      "One tape therefore tells the machine's speed together with its own error. Several tapes of different makers "
      "vote: "
      "what all of them say is the machine, what one says alone is that tape.",
      "A file on this device has no clock of its own to be off. What a phone or a disc player plays runs by that "
      "device's "
      "clock, which is in the error budget.",
      "The music stays on this device and is not kept. What is kept of a tape is its name, the machine's, the result "
      "and "
      "the day."};
  return kTruth;
}

Advice advice(SongReason reason) {
  switch (reason) {
    case SongReason::too_quiet: return {"There is next to no sound.", "Turn the level up and record it again."};
    case SongReason::too_short: return {"Too short to compare.", "Take 30 to 60 s of the tape."};
    case SongReason::different_recording:
      return {"The song is alike, the recording is another.",
              "Find the very release that is on the tape: not a live, newly recorded or newly mixed one."};
    case SongReason::too_little_overlap:
      return {"Little of the tape is in the song.", "Play the same part of the same song."};
    case SongReason::tape_dropout:
      return {"Stretches of the tape could not be followed.",
              "They were stepped over. Clean the head if there are many."};
    case SongReason::tape_edit:
      return {"The tape or the song is cut.",
              "The line goes on behind the cut; another mix or a skip looks like that."};
    case SongReason::not_steady:
      return {"The speed wanders too much for a figure.", "Clean the tape's path, look at belt and pinch roller."};
  }
  return {};
}

std::optional<Advice> song_advice(Reason reason) {
  switch (reason) {
    case Reason::no_tone: return Advice{"The song is not found yet.", "Is the tape playing this song, loud enough?"};
    case Reason::too_short: return Advice{"Not enough of the song yet.", "Wait a moment, with the tape playing."};
    case Reason::tape_dropout:
      return Advice{"The sound fell away or was disturbed.", "It goes on by itself; if not, clean the head."};
    default: return std::nullopt;
  }
}

}  // namespace four76::words
