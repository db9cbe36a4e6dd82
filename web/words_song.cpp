// The song bench's part of words: what to do next, where in the song the tape is, and what came out.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "web/words.hpp"

namespace four76::words {
namespace {

constexpr double kLongSearchS = 20.0;  // the place is found within 8 s where it is in the song

bool never_followed(const Model& model) {
  const auto& trail = model.snapshot->channel[0].trail;
  return std::none_of(trail.begin(), trail.end(), [](const TrailPoint& p) { return p.status != Status::no_tone; });
}

Hint resting_hint(const Model& model) {
  if (!model.song.reference)
    return {Way::none, "Which song is on the tape?", "Open it as a file, or play it to the microphone once."};
  return {Way::none, "Now the same song from the tape",
          "Play any part of it and tap " + std::string(act_name("act-song-listen")) +
              ", or open a recording of the tape as a file."};
}

Hint recording_hint(const SongBench& song) {
  const std::string text = "Recording the song, " + clock_text(song.recorded_s);
  if (song.recorded_s > 3.0 && song.loudest_dbfs.value_or(-200.0) < kQuietestReference_dbfs)
    return {Way::distrust, "Nothing is heard of the song", "Play it now, louder or nearer, or use a cable."};
  if (song.recorded_s < kShortestReference_s)
    return {Way::wait, text, "Let it play: half a minute at the least, and all of it is best."};
  if (song.recorded_s < kAdvisedReference_s)
    return {Way::wait, text, "Go on to half a minute at the least; all of it is best."};
  return {Way::wait, text, "Enough to begin with. What is recorded is what can be found again on the tape."};
}

Hint following_hint(const Model& model) {
  const Reading* reading = shown_reading(model);
  const std::string place = model.song.position_s ? " at " + clock_text(*model.song.position_s) : "";
  if (const Reading* judged = trust(model) == Trust::good ? judged_reading(model) : nullptr)
    return coach_hint(model).value_or(speed_verdict(model, *judged));
  if (reading && reading->reasons.contains(Reason::tape_dropout)) {
    const Advice found = advice(Reason::tape_dropout, model);
    return {Way::distrust, found.what, found.todo};
  }
  return {Way::wait, "Found" + place, "The first figure comes in a moment."};
}

Hint listening_hint(const Model& model) {
  if (const auto stopped = advice(model.interrupted)) return {Way::distrust, stopped->what, stopped->todo};
  if (!model.snapshot) return {Way::wait, "Listening\u2026", "The first second is thrown away."};
  switch (model.song.state) {
    case SongState::silent:
      return {Way::wait, "No sound yet", "Play the tape, loud enough, near the microphone or by cable."};
    case SongState::searching:
      if (model.snapshot->time_s < kLongSearchS || !never_followed(model))
        return {Way::wait, "Listening for the place in the song", "Some eight seconds of it show where the tape is."};
      return {Way::distrust, "The song is not found",
              "Is it this song, and a part that the reference holds? A live or newly recorded version is another one."};
    case SongState::lost:
      return {Way::distrust, "The song is lost",
              "It is looked for again: has the tape stopped, been wound on, or gone to another song?"};
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
    return {
        Way::distrust, "Not this recording",
        "The song is not on the tape, or not the part that the reference holds. A live or newly recorded version is "
        "another recording."};
  const Advice found = advice(match.reasons.front());
  return {Way::distrust, found.what, found.todo};
}

std::string level_of(const std::optional<double>& dbfs) {
  if (!dbfs) return "not known yet";
  const std::string_view word = *dbfs > -0.5 ? "too loud" : *dbfs < kQuietestReference_dbfs ? "too quiet" : "good";
  return std::string(word) + ", peak " + fixed(*dbfs, 0) + " dB";
}

std::vector<BudgetLine> result_lines(const Model& model) {
  std::vector<BudgetLine> lines;
  const SongResult& result = *model.song.result;
  const auto& fit = result.match.fit;
  if (fit) lines.push_back({"Followed", fixed(100.0 * fit->held_share, 0) + " % of the sound", ""});
  if (!has_speed(result.match)) return lines;
  lines.push_back({"Place", "from " + clock_text(std::max(0.0, fit->start_s)) + " of the song", ""});
  if (fit->wow_rms_percent) {
    const double u95 = fit->wow_rms_u95_percent.value_or(*fit->wow_rms_percent);
    const int decimals = std::max(1, supported_decimals(u95, 3));
    lines.push_back(
        {"Wow up to 3.6 Hz", fixed(*fit->wow_rms_percent, decimals) + " " + plus_minus(u95, decimals) + " % RMS", ""});
  }
  if (fit->edits > 0) lines.push_back({"Cuts", fixed(fit->edits, 0) + ", stepped over", ""});
  lines.push_back({"In all", in_all(model), ""});
  return lines;
}

}  // namespace

std::string clock_text(double seconds) {
  const auto whole = static_cast<int>(std::max(0.0, std::floor(seconds)));
  char text[32];
  if (whole >= 3600) {
    std::snprintf(text, sizeof text, "%d:%02d:%02d", whole / 3600, whole / 60 % 60, whole % 60);
  } else {
    std::snprintf(text, sizeof text, "%d:%02d", whole / 60, whole % 60);
  }
  return text;
}

std::string_view act_name(std::string_view act) noexcept {
  static constexpr std::array<std::array<std::string_view, 2>, 9> kNames = {{
      {"act-song", "Measure by a song"},
      {"act-song-close", "Leave song"},
      {"act-song-reference", "Open song"},
      {"act-song-record", "Record it"},
      {"act-song-done", "Use it"},
      {"act-song-forget", "Other song"},
      {"act-song-listen", "Hear tape"},
      {"act-song-file", "Tape file"},
      {"act-song-keep", "Keep"},
  }};
  for (const auto& [id, name] : kNames)
    if (id == act) return name;
  return "";
}

std::string song_name(const Model& model) {
  const auto& song = model.song.reference;
  if (!song) return "";
  return song->recorded ? "the song as recorded" : song->name;
}

std::string match_place(const Model& model) {
  const auto& fit = model.song.result->match.fit;
  if (!fit) return "";
  return "From " + clock_text(std::max(0.0, fit->start_s)) + " of the song; " + fixed(100.0 * fit->held_share, 0) +
         " % of it could be followed.";
}

Hint song_hint(const Model& model) {
  switch (model.phase) {
    case Phase::listening: return records_song(model) ? recording_hint(model.song) : listening_hint(model);
    case Phase::measuring_file: {
      const bool tape = model.song.file == SongFile::tape;
      return {Way::wait, (tape ? "Comparing " : "Reading ") + fixed(100.0 * model.file.fraction, 0) + " %",
              model.file.name};
    }
    case Phase::file_shown: return model.song.result ? result_hint(model) : Hint{};
    case Phase::idle:
    case Phase::asking:
    case Phase::demo:
    case Phase::failed: break;
  }
  return resting_hint(model);
}

std::string song_status_line(const Model& model) {
  switch (model.phase) {
    case Phase::listening: {
      if (records_song(model)) return "Recording the song";
      const std::string rate = model.capture ? ", " + kilohertz(model.capture->sample_rate_hz) : "";
      return song_state_text(model) + rate;
    }
    case Phase::measuring_file:
      return (model.song.file == SongFile::tape ? "Comparing " : "Reading ") + model.file.name;
    case Phase::file_shown: return model.file.name + " against " + song_name(model);
    case Phase::idle:
    case Phase::asking:
    case Phase::demo:
    case Phase::failed: break;
  }
  return "The song is the test tape";
}

std::string song_state_text(const Model& model) {
  if (!follows_song(model)) return "";
  switch (model.song.state) {
    case SongState::silent: return "No sound yet";
    case SongState::searching: return "Listening for the place";
    case SongState::lost: return "The song is lost";
    case SongState::following:
      return model.song.position_s ? "Locked at " + clock_text(*model.song.position_s) + " of the song" : "Locked";
  }
  return "";
}

std::string_view song_in_place_of_a_number(const Model& model) noexcept {
  switch (model.phase) {
    case Phase::asking: return "Asking\u2026";
    case Phase::measuring_file: return model.song.file == SongFile::tape ? "Comparing\u2026" : "Reading\u2026";
    case Phase::file_shown: return "No match";
    case Phase::listening: break;
    case Phase::idle:
    case Phase::demo:
    case Phase::failed: return "No reading";
  }
  if (records_song(model)) return "Recording\u2026";
  switch (model.song.state) {
    case SongState::silent: return "No sound";
    case SongState::searching: return "Searching\u2026";
    case SongState::lost: return "Lost";
    case SongState::following: return "Locked\u2026";
  }
  return "";
}

std::string song_against(const Model& model) {
  const std::string name = song_name(model);
  return (name.empty() ? "by a song" : "by " + name) + ", within " + percent(model.settings.tolerance_percent);
}

std::span<const std::string_view> song_steps(const Model& model) noexcept {
  static constexpr std::array<std::string_view, 3> kFirst = {
      "Have the very recording that is on the tape: as a file, from a disc or streamed.",
      "Open its file here, or play it once to this microphone and record it.",
      "Then play any part of it from the tape: it tells the speed as a speed tape does."};
  static constexpr std::array<std::string_view, 3> kThen = {
      "Play the tape near the microphone, or by cable. Eight seconds find the place.",
      "Then turn the trimmer by the figure, as with a speed tape.",
      "A tape has an error of its own: keep the results of several tapes, and they vote."};
  if (model.song.reference) return kThen;
  return kFirst;
}

std::vector<BudgetLine> song_lines(const Model& model) {
  if (model.song.result) return result_lines(model);
  std::vector<BudgetLine> lines;
  const SongBench& song = model.song;
  if (records_song(model)) {
    lines.push_back({"Length", clock_text(song.recorded_s), ""});
    lines.push_back({"Level", level_of(song.level_dbfs), ""});
  } else if (follows_song(model)) {
    const std::string all = song.reference ? " of " + clock_text(song.reference->seconds + 0.5) : "";
    lines.push_back({"Place", song.position_s ? clock_text(*song.position_s) + all : "not found", ""});
    lines.push_back(
        {"Level", level_of(model.snapshot ? model.snapshot->channel[0].input_peak_dbfs : std::nullopt), ""});
    lines.push_back({"In all", in_all(model), ""});
  } else if (song.reference) {
    lines.push_back({song_name(model), clock_text(song.reference->seconds + 0.5), ""});
  }
  return lines;
}

std::string_view alignment_title(const Model& model) noexcept {
  return has_speed(model.song.result->match) ? "How far the tape runs ahead of the song" : "What could be followed";
}

std::string ahead_text(double seconds, double after_s) {
  return signed_fixed(seconds, std::fabs(seconds) < 0.1 ? 3 : 2) + " s after " + fixed(after_s, 0) + " s";
}

std::string too_long_song(double seconds) {
  return "it is " + clock_text(seconds) + " long, and a song of up to " + fixed(kLongestReference_s / 60.0, 0) +
         " min can be taken. Cut out the song that is on the tape.";
}
std::string too_short_song(double seconds, bool tape) {
  return "it is only " + fixed(seconds, 1) + " s long. " +
         (tape ? "Record 30 to 60 s of the tape." : "Half a minute at the least is needed; the whole song is best.");
}
std::string_view silent_song(bool tape) noexcept {
  return tape ? "it is silent: turn the recording level up and record the tape again." : "it is silent.";
}
std::string_view unfit_rate_song() noexcept { return "its sample rate is none of 8 to 192 kHz."; }

std::string_view again(const Model& model) noexcept {
  const auto kind = model.failure ? model.failure->kind : Failure::Kind::capture;
  const bool file = kind == Failure::Kind::file || (kind == Failure::Kind::settings && model.bench == Bench::tone);
  if (!in_song(model)) return file ? "act-open-file" : "act-listen";
  if (file) return model.song.file == SongFile::tape ? "act-song-file" : "act-song-reference";
  return model.song.capture == SongCapture::reference ? "act-song-record" : "act-song-listen";
}

}  // namespace four76::words
