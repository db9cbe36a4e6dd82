#include "web/song/words.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <utility>

#include "core/phrase.hpp"
#include "web/budget/words.hpp"
#include "web/coach/words.hpp"
#include "web/words/advice.hpp"
#include "web/words/hint.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {
namespace {

constexpr double kLongSearchS = 20.0;  // the place is found within 8 s where it is in the song

bool never_followed(const Model& model) {
  const auto& trail = model.snapshot->channel[0].trail;
  return std::none_of(trail.begin(), trail.end(), [](const TrailPoint& p) { return p.status != Status::no_tone; });
}

Hint resting_hint(const Model& model) {
  if (!model.song.reference)
    return {Way::none, say("Which song is on the tape?"),
            say("Open it as a file, or play it to the microphone once: off a disc, or any tape off a machine that is "
                "right.")};
  return {
      Way::none, say("Now play the song's tape"),
      say("Play any part of it and tap {0}, or open a recording of the tape as a file.", act_name("act-song-listen"))};
}

Hint recording_hint(const SongBench& song) {
  const std::string text = say("Recording the song, {0}", clock_text(song.recorded_s));
  if (song.recorded_s > 3.0 && song.loudest_dbfs.value_or(-200.0) < kQuietestReference_dbfs)
    return {Way::distrust, say("The song is not heard"), say("Play it now, louder or nearer, or use a cable.")};
  if (song.recorded_s < kShortestReference_s)
    return {Way::wait, text, say("Let it play: half a minute at the least, and all of it is best.")};
  if (song.recorded_s < kAdvisedReference_s)
    return {Way::wait, text, say("Go on to half a minute at the least; all of it is best.")};
  return {Way::wait, text, say("Enough to begin with. What is recorded is what can be found again on the tape.")};
}

Hint following_hint(const Model& model) {
  const Reading* reading = shown_reading(model);
  if (const Reading* judged = trust(model) == Trust::good ? judged_reading(model) : nullptr)
    return coach_hint(model).value_or(speed_verdict(model, *judged));
  for (const Reason reason : {Reason::capture_gap, Reason::tape_dropout})
    if (reading && reading->reasons.contains(reason)) {
      const Advice found = advice(reason, model);
      return {Way::distrust, found.what, found.todo};
    }
  return {Way::wait, model.song.position_s ? say("Found at {0}", clock_text(*model.song.position_s)) : say("Found"),
          say("The first figure comes in a moment.")};
}

Hint listening_hint(const Model& model) {
  if (const auto stopped = advice(model.interrupted)) return {Way::distrust, stopped->what, stopped->todo};
  if (!model.snapshot) return {Way::wait, say("Listening\u2026"), say("The first second is thrown away.")};
  switch (model.song.state) {
    case SongState::silent:
      return {Way::wait, say("No sound yet"), say("Play the tape, loud enough, near the microphone or by cable.")};
    case SongState::searching:
      if (model.snapshot->time_s < kLongSearchS || !never_followed(model))
        return {Way::wait, say("Listening for the place in the song"),
                say("Some eight seconds of it show where the tape is.")};
      return {Way::distrust, say("The song is not found"),
              say("Is it this song, and a part that the reference holds? A live or newly recorded version is another "
                  "one.")};
    case SongState::lost:
      return {Way::distrust, say("The song is lost"),
              say("It is looked for again: has the tape stopped, been wound on, or gone to another song?")};
    case SongState::following: return following_hint(model);
  }
  return {};
}

Hint result_hint(const Model& model) {
  const SongMatch& match = model.song.result->match;
  if (match.status == SongStatus::matched) {
    if (const Reading* judged = judged_reading(model)) {
      Hint verdict = speed_verdict(model, *judged);
      if (verdict.detail.empty()) verdict.detail = match_place(model);
      return verdict;
    }
  }
  if (match.reasons.empty())
    return {Way::distrust, say("Not this recording"),
            say("The song is not on the tape, or not the part that the reference holds. A live or newly recorded "
                "version is another recording.")};
  const Advice found = advice(match.reasons.front());
  return {Way::distrust, found.what, found.todo};
}

// Through a microphone: it has no name of its own.
bool is_recorded(const Model& model) { return model.song.reference && model.song.reference->recorded; }

std::string level_of(const std::optional<double>& dbfs) {
  if (!dbfs) return say("not known yet");
  const std::string_view word = *dbfs > -0.5                      ? tr("too loud##level")
                                : *dbfs < kQuietestReference_dbfs ? tr("too quiet##level")
                                                                  : tr("good##level");
  return say("{0}, peak {1}", word, fixed(*dbfs, 0) + " dB");
}

std::vector<BudgetLine> result_lines(const Model& model) {
  std::vector<BudgetLine> lines;
  const SongResult& result = *model.song.result;
  const auto& fit = result.match.fit;
  if (fit) lines.push_back({say("Followed"), say("{0} of the sound", fixed(100.0 * fit->held_share, 0) + " %"), ""});
  if (!has_speed(result.match)) return lines;
  lines.push_back({say("Place##song"), say("from {0} of the song", clock_text(std::max(0.0, fit->start_s))), ""});
  if (fit->wow_rms_percent) {
    const double u95 = fit->wow_rms_u95_percent.value_or(*fit->wow_rms_percent);
    const int decimals = std::max(1, supported_decimals(u95, 3));
    lines.push_back({say("Wow up to 3.6 Hz"),
                     fixed(*fit->wow_rms_percent, decimals) + " " + plus_minus(u95, decimals) + " % RMS", ""});
  }
  if (fit->edits > 0) lines.push_back({say("Cuts"), say("{0}, stepped over", fixed(fit->edits, 0)), ""});
  lines.push_back({say("Total"), in_all(model), ""});
  return lines;
}

}  // namespace

std::string_view act_name(std::string_view act) noexcept {
  static constexpr std::array<std::pair<std::string_view, Phrase>, 9> kNames = {{
      {"act-song", Phrase("Measure by a song")},
      {"act-song-close", Phrase("Leave song")},
      {"act-song-reference", Phrase("Open song")},
      {"act-song-record", Phrase("Record it")},
      {"act-song-done", Phrase("Use it")},
      {"act-song-forget", Phrase("Other song")},
      {"act-song-listen", Phrase("Hear tape")},
      {"act-song-file", Phrase("Tape file")},
      {"act-song-keep", Phrase("Keep##tape")},
  }};
  for (const auto& [id, name] : kNames)
    if (id == act) return tr(name);
  return "";
}

std::string song_name(const Model& model) {
  const auto& song = model.song.reference;
  if (!song) return "";
  return song->recorded ? say("the song as recorded") : song->name;
}

std::string match_place(const Model& model) {
  const auto& fit = model.song.result->match.fit;
  if (!fit) return "";
  return say("From {0} of the song; {1} of it could be followed.", clock_text(std::max(0.0, fit->start_s)),
             fixed(100.0 * fit->held_share, 0) + " %");
}

Hint song_hint(const Model& model) {
  switch (model.phase) {
    case Phase::listening: return records_song(model) ? recording_hint(model.song) : listening_hint(model);
    case Phase::measuring_file: {
      const bool tape = model.song.file == SongFile::tape;
      return {Way::wait,
              say(tape ? Phrase("Comparing {0}##progress") : Phrase("Reading {0}##progress"),
                  fixed(100.0 * model.file.fraction, 0) + " %"),
              model.file.name};
    }
    case Phase::file_shown: return model.song.result ? result_hint(model) : Hint{};
    case Phase::idle:
    case Phase::asking:
    case Phase::demo:
    case Phase::held:
    case Phase::failed: break;
  }
  return resting_hint(model);
}

std::string song_status_line(const Model& model) {
  switch (model.phase) {
    case Phase::listening:
      return records_song(model) ? say("Recording the song") : song_state_text(model) + capture_note(model);
    case Phase::measuring_file:
      return say(model.song.file == SongFile::tape ? Phrase("Comparing {0}##name") : Phrase("Reading {0}##name"),
                 model.file.name);
    case Phase::file_shown:
      return is_recorded(model) ? say("{0} against the song as recorded", model.file.name)
                                : say("{0} against {1}", model.file.name, song_name(model));
    case Phase::idle:
    case Phase::asking:
    case Phase::demo:
    case Phase::held:
    case Phase::failed: break;
  }
  return say("The song is the test tape");
}

std::string song_state_text(const Model& model) {
  if (!follows_song(model)) return "";
  switch (model.song.state) {
    case SongState::silent: return say("No sound yet");
    case SongState::searching: return say("Listening for the place");
    case SongState::lost: return say("The song is lost");
    case SongState::following:
      return model.song.position_s ? say("Locked at {0} of the song", clock_text(*model.song.position_s))
                                   : say("Locked");
  }
  return "";
}

std::string_view song_in_place_of_a_number(const Model& model) noexcept {
  switch (model.phase) {
    case Phase::asking: return tr("Asking\u2026");
    case Phase::measuring_file: return model.song.file == SongFile::tape ? tr("Comparing\u2026") : tr("Reading\u2026");
    case Phase::file_shown: return tr("No match");
    case Phase::listening: break;
    case Phase::idle:
    case Phase::demo:
    case Phase::held:
    case Phase::failed: return tr("No reading");
  }
  if (records_song(model)) return tr("Recording\u2026");
  switch (model.song.state) {
    case SongState::silent: return tr("No sound");
    case SongState::searching: return tr("Searching\u2026");
    case SongState::lost: return tr("Lost##song");
    case SongState::following: return tr("Locked\u2026");
  }
  return "";
}

std::string song_against(const Model& model) {
  const std::string name = song_name(model), limit = percent(model.settings.tolerance_percent);
  if (name.empty()) return say("by a song, within {0}", limit);
  return is_recorded(model) ? say("by the song as recorded, within {0}", limit)
                            : say("by {0}, within {1}", name, limit);
}

std::vector<std::string_view> song_steps(const Model& model) {
  if (model.song.reference) {
    return {tr("Play the tape near the microphone, or by cable. Eight seconds find the place."),
            tr("Then turn the trimmer by the figure, as with a speed tape."),
            tr("A tape has an error of its own: keep the results of several tapes, and they vote.")};
  }
  return {tr("Have the very recording that is on the tape: as a file, from a disc or streamed."),
          tr("Open its file here, or play it once to this microphone and record it."),
          tr("Then play any part of it from the tape: it tells the speed as a speed tape does.")};
}

std::vector<BudgetLine> song_lines(const Model& model) {
  if (model.song.result) return result_lines(model);
  std::vector<BudgetLine> lines;
  const SongBench& song = model.song;
  if (records_song(model)) {
    lines.push_back({say("Length##song"), clock_text(song.recorded_s), ""});
    lines.push_back({say("Level"), level_of(song.level_dbfs), ""});
  } else if (follows_song(model)) {
    std::string place = song.position_s ? clock_text(*song.position_s) : say("not found");
    if (song.position_s && song.reference) place = say("{0} of {1}", place, clock_text(song.reference->seconds + 0.5));
    lines.push_back({say("Place##song"), place, ""});
    lines.push_back(
        {say("Level"), level_of(model.snapshot ? model.snapshot->channel[0].input_peak_dbfs : std::nullopt), ""});
    lines.push_back({say("Total"), in_all(model), ""});
  } else if (song.reference) {
    lines.push_back({song_name(model), clock_text(song.reference->seconds + 0.5), ""});
  }
  return lines;
}

std::string_view alignment_title(const Model& model) noexcept {
  return has_speed(model.song.result->match) ? tr("Tape ahead of the song") : tr("What was followed");
}

std::string ahead_text(double seconds, double after_s) {
  return say("{0} after {1}", signed_fixed(seconds, std::fabs(seconds) < 0.1 ? 3 : 2) + " s", fixed(after_s, 0) + " s");
}

std::string too_long_song(double seconds) {
  return say("it is {0} long; songs may be up to {1}. Keep only the song that is on the tape.", clock_text(seconds),
             fixed(kLongestReference_s / 60.0, 0) + " min");
}
std::string too_short_song(double seconds, bool tape) {
  return say("it is only {0} long.", fixed(seconds, 1) + " s") + ' ' +
         (tape ? say("Record 30 to 60 s of the tape.")
               : say("Half a minute at the least is needed; the whole song is best."));
}
std::string_view silent_song(bool tape) noexcept {
  return tape ? tr("it is silent: turn the recording level up and record the tape again.") : tr("it is silent.");
}
std::string_view unfit_rate_song() noexcept { return tr("its sample rate is outside 8 to 192 kHz."); }

}  // namespace four76::words
