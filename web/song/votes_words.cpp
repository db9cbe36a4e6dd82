// The votes' part of words: what may be wrong with a song or a tape, and what several tapes say together.
#include "web/song/words.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/phrase.hpp"
#include "web/budget/budget.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {
namespace {

int vote_decimals(const TapeVote& vote) { return std::clamp(supported_decimals(vote.u95_percent, 2), 1, 2); }

// Of more than one.
std::string count_name(std::size_t count) {
  static constexpr std::array<Phrase, 8> kNames = {Phrase("Two"), Phrase("Three"), Phrase("Four"),  Phrase("Five"),
                                                   Phrase("Six"), Phrase("Seven"), Phrase("Eight"), Phrase("Nine")};
  return count >= 2 && count - 2 < kNames.size() ? say(kNames[count - 2]) : std::to_string(count);
}

// "+0.9, +1.1 and +1.0 %"
std::string list_of(std::span<const TapeVote> votes, const std::vector<std::size_t>& which) {
  std::string text;
  for (std::size_t i = 0; i < which.size(); ++i) {
    const std::string each = signed_fixed(votes[which[i]].speed_error_percent, 1);
    if (i > 0 && i + 1 == which.size())
      text = say("{0} and {1}", text, each);
    else
      text.append(i > 0 ? ", " : "").append(each);
  }
  return text + " %";
}

std::string tapes_say(std::span<const TapeVote> votes, const std::vector<std::size_t>& which) {
  if (which.size() == 1) return say("One tape says {0}", list_of(votes, which));
  return say("{0} tapes say {1}", count_name(which.size()), list_of(votes, which));
}

std::string apart_said(std::span<const TapeVote> votes, const TapeVotes& counted, bool sure) {
  if (counted.apart.empty()) return "";
  const std::string list = list_of(votes, counted.apart);
  if (counted.apart.size() == 1)
    return ' ' + say(sure ? Phrase("One says {0}: that tape.") : Phrase("One says {0}: perhaps that tape."), list);
  return ' ' + say(sure ? Phrase("{0} say {1}: those tapes.") : Phrase("{0} say {1}: perhaps those tapes."),
                   count_name(counted.apart.size()), list);
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
    case VoteVerdict::none: return say("No tape is kept yet for this machine.");
    case VoteVerdict::one:
      return say("{0}. Its own error and the machine's cannot be told apart: keep two more.",
                 tapes_say(votes, all_of(1)));
    case VoteVerdict::two_agree:
      return say("{0}. Two are too few to be sure: a third one tells.", tapes_say(votes, all_of(2)));
    case VoteVerdict::two_differ:
      return say("{0}: one of them is off, and nobody can tell which. Keep a third one.", tapes_say(votes, all_of(2)));
    case VoteVerdict::two_of_three:
      return say("{0}: perhaps your machine, {1}.", tapes_say(votes, counted.agreeing), machine_said(counted)) +
             apart_said(votes, counted, false) + ' ' + say("One more tape makes it more certain.");
    case VoteVerdict::machine:
      return say("{0}: your machine, most likely, {1}.", tapes_say(votes, counted.agreeing), machine_said(counted)) +
             apart_said(votes, counted, true);
    case VoteVerdict::scattered:
      return say(
          "{0}: they differ too much to say anything about the machine. More tapes of other makers help, or a speed "
          "tape.",
          tapes_say(votes, all_of(votes.size())));
  }
  return "";
}

std::string vote_summary(std::span<const TapeVote> votes) {
  const TapeVotes counted = count_votes(votes);
  if (!counted.median_percent) return "";
  std::string text = say("Median {0}", signed_fixed(*counted.median_percent, 2) + " %");
  if (counted.spread_percent) text += ", " + say("spread {0}", fixed(*counted.spread_percent, 2) + " %");
  return text + ", " + (votes.size() == 1 ? say("1 tape") : say("{0} tapes", std::to_string(votes.size())));
}

std::string vote_amount(const TapeVote& vote) {
  const int decimals = vote_decimals(vote);
  return signed_fixed(vote.speed_error_percent, decimals) + " " + plus_minus(vote.u95_percent, decimals) + " %";
}

std::string vote_offer(const Model& model) {
  if (!can_keep_tape(model)) return say("A result can be kept while it is on show.");
  const Reading& reading = *judged_reading(model);
  const auto all = budget(model);
  const double u95 = all && all->terms.sum_percent ? *all->terms.sum_percent : *reading.u95_percent;
  return say("This tape says {0}.", vote_amount({*reading.speed_error_percent, u95}));
}

std::string_view tape_needs_name() noexcept { return tr("Give the tape a name of one line."); }

std::vector<std::string_view> song_truth() {
  return {tr("A bought cassette was copied at a speed that is itself a little off, and it may hold another mix or a "
             "cut version. A tape recorded at home carries the error of the machine that recorded it; played on that "
             "same machine it shows nothing of it."),
          tr("One tape therefore tells the machine's speed together with its own error. Several tapes of different "
             "makers vote: what all of them say is the machine, what one says alone is that tape."),
          tr("A file on this device has no clock of its own to be off. What a phone or a disc player plays runs by "
             "that device's clock, which is in the error budget."),
          tr("The music stays on this device and is not kept. What is kept of a tape is its name, the machine's, the "
             "result and the day.")};
}

Advice advice(SongReason reason) {
  switch (reason) {
    case SongReason::too_quiet: return {say("Almost no sound."), say("Turn the level up and record it again.")};
    case SongReason::too_short: return {say("Too short to compare."), say("Take 30 to 60 s of the tape.")};
    case SongReason::different_recording:
      return {say("It is the same song, but another recording."),
              say("Find the very release that is on the tape: not a live, newly recorded or newly mixed one.")};
    case SongReason::too_little_overlap:
      return {say("Little of the tape is in the song."), say("Play the same part of the same song.")};
    case SongReason::tape_dropout:
      return {say("Stretches of the tape could not be followed."),
              say("They were stepped over. Clean the head if there are many.")};
    case SongReason::tape_edit:
      return {say("The tape or the song is cut."),
              say("The line goes on behind the cut; another mix or a skip looks like that.")};
    case SongReason::not_steady:
      return {say("The speed is not known well enough for this tolerance."),
              say("Record longer, without talk. Clean the tape's path, look at belt and pinch roller.")};
    case SongReason::capture_gap:
      return {say("The device lost some samples."), say("Close other programs, then record it again.")};
  }
  return {};
}

std::optional<Advice> song_advice(Reason reason) {
  switch (reason) {
    case Reason::no_tone:
      return Advice{say("The song is not found yet."), say("Is the tape playing this song, loud enough?")};
    case Reason::too_short:
      return Advice{say("Not enough of the song yet."), say("Wait a moment, with the tape playing.")};
    case Reason::tape_dropout:
      return Advice{say("The sound fell away or was disturbed."), say("It goes on by itself; if not, clean the head.")};
    default: return std::nullopt;
  }
}

}  // namespace four76::words
