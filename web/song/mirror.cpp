#include "web/song/mirror.hpp"

#include "core/phrase.hpp"
#include "web/song/words.hpp"
#include "web/words/advice.hpp"
#include "web/words/numbers.hpp"

namespace four76 {
namespace {

std::string_view state_of(const Model& model) {
  if (!follows_song(model)) return "";
  switch (model.song.state) {
    case SongState::silent: return "silent";
    case SongState::searching: return "searching";
    case SongState::following: return "following";
    case SongState::lost: return "lost";
  }
  return "";
}

const SongResult* result_of(const Model& model) {
  return in_song(model) && model.song.result ? &*model.song.result : nullptr;
}

void put_tapes(JsonWriter& json, const Model& model) {
  const SongBench& song = model.song;
  std::vector<TapeVote> votes;
  const std::vector<std::size_t> mine = tapes_of(song.tapes, song.machine);
  for (const std::size_t i : mine) votes.push_back(song.tapes[i].vote);
  const TapeVotes counted = count_votes(votes);
  json.key("tapes").open('{');
  json.key("machine").value(song.machine);
  json.key("rows").open('[');
  for (std::size_t i = 0; i < mine.size(); ++i) {
    const KeptTape& kept = song.tapes[mine[i]];
    bool apart = false;
    for (const std::size_t each : counted.apart) apart = apart || each == i;
    json.open('{');
    json.key("index").value(std::optional(static_cast<double>(mine[i])));
    json.key("tape").value(kept.tape);
    json.key("amount").value(words::vote_amount(kept.vote));
    json.key("date").value(kept.date);
    json.key("apart").value(apart);
    json.close('}');
  }
  json.close(']');
  json.key("summary").value(words::vote_summary(votes));
  json.key("sentence").value(words::vote_sentence(votes));
  json.key("offer").value(words::vote_offer(model));
  json.key("fault").value(song.keep_fault);
  json.key("can_keep").value(can_keep_tape(model));
  json.close('}');
}

}  // namespace

void put_song_reasons(JsonWriter& json, const Model& model) {
  if (const SongResult* result = result_of(model))
    for (const SongReason reason : result->match.reasons) json.value(name_of(reason));
}

void put_song_fields(JsonWriter& json, const Model& model) {
  const SongResult* const result = result_of(model);
  const bool speed = result && has_speed(result->match);
  const auto of_fit = [&](bool there, auto member) {
    return there ? std::optional<double>(member(*result->match.fit)) : std::nullopt;
  };
  json.key("song_state").value(state_of(model));
  json.key("song_position_s").value(in_song(model) ? model.song.position_s : std::nullopt);
  json.key("song_status").value(result ? name_of(result->match.status) : std::string_view{});
  json.key("reference_start_s").value(of_fit(speed, [](const SongFit& fit) { return fit.start_s; }));
  json.key("matched_fraction").value(of_fit(result && result->match.fit, [](const SongFit& fit) {
    return fit.held_share;
  }));
  json.key("wow_rms_percent").value(speed ? result->match.fit->wow_rms_percent : std::nullopt);
}

void put_song_words(JsonWriter& json, const Model& model) {
  const std::vector<words::BudgetLine> lines =
      in_song(model) ? words::song_lines(model) : std::vector<words::BudgetLine>{};
  const auto line = [&](std::string_view name) {
    for (const words::BudgetLine& each : lines)
      if (each.name == name) return each.amount;
    return say("none##song");
  };
  const std::string state = words::song_state_text(model);
  json.key("song_state").value(state.empty() ? say("none##song") : state);
  json.key("song_position_s")
      .value(model.song.position_s ? words::clock_text(*model.song.position_s) : say("none##song"));
  json.key("song_status").value(result_of(model) ? words::song_hint(model).text : say("none##song"));
  json.key("reference_start_s").value(line(tr("Place##song")));
  json.key("matched_fraction").value(line(tr("Followed")));
  json.key("wow_rms_percent").value(line(tr("Wow up to 3.6 Hz")));
}

std::string song_reasons_spoken(const Model& model) {
  std::string all;
  if (const SongResult* result = result_of(model))
    for (const SongReason reason : result->match.reasons) {
      const words::Advice found = words::advice(reason);
      all.append(all.empty() ? "" : " ").append(found.what).append(" ").append(found.todo);
    }
  return all;
}

void put_song_advice(JsonWriter& json, const Model& model) {
  const SongResult* const result = result_of(model);
  if (!result) return;
  for (const SongReason reason : result->match.reasons) {
    const words::Advice found = words::advice(reason);
    json.open('{');
    json.key("reason").value(name_of(reason));
    json.key("what").value(found.what);
    json.key("todo").value(found.todo);
    json.close('}');
  }
}

void put_song(JsonWriter& json, const Model& model) {
  const SongBench& song = model.song;
  json.key("song").open('{');
  json.key("bench").value(model.bench == Bench::song ? "song" : "tone");
  json.key("reference").value(words::song_name(model));
  json.key("reference_s").value(song.reference ? std::optional(song.reference->seconds) : std::nullopt);
  json.key("recorded_s").value(records_song(model) ? std::optional(song.recorded_s) : std::nullopt);
  json.key("again").value(words::again(model));
  // What a file that is dropped on the page is to be.
  json.key("role").value(!in_song(model) ? "tone" : song.reference ? "tape" : "reference");
  put_tapes(json, model);
  json.close('}');
}

}  // namespace four76
