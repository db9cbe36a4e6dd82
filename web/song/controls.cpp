#include "web/song/controls.hpp"

#include <string>
#include <variant>

#include "web/controls.hpp"
#include "web/overloaded.hpp"
#include "web/song/update.hpp"

namespace four76 {
namespace {

// "2026-11-26", the machine and the tape, a line each.
std::optional<Intent> tape_to_keep(std::string_view value) {
  const auto first = value.find('\n');
  const auto second = first == std::string_view::npos ? first : value.find('\n', first + 1);
  if (second == std::string_view::npos) return std::nullopt;
  return intent::KeepTape{std::string(value.substr(first + 1, second - first - 1)),
                          std::string(value.substr(second + 1)), std::string(value.substr(0, first))};
}

}  // namespace

std::optional<Intent> song_button(std::string_view act) {
  if (act == "act-song") return intent::OpenSongBench{};
  if (act == "act-song-close") return intent::CloseSongBench{};
  if (act == "act-song-reference") return intent::OpenReference{};
  if (act == "act-song-record") return intent::RecordReference{};
  if (act == "act-song-done") return intent::UseRecording{};
  if (act == "act-song-forget") return intent::ForgetReference{};
  if (act == "act-song-listen") return intent::PlayTape{};
  if (act == "act-song-file") return intent::OpenTape{};
  if (act == "act-song-keep") return intent::ShowHelp{"tapes"};
  if (act == "act-forget-tapes") return intent::ForgetBrokenTapes{};
  return std::nullopt;
}

std::optional<Intent> song_control(std::string_view name, std::string_view value) {
  if (name == "keep-tape") return tape_to_keep(value);
  if (name == "machine") return intent::NameMachine{std::string(value)};
  if (name == "forget-tape") {
    if (const auto index = index_of(value, kMostTapes)) return intent::ForgetTape{*index};
  }
  return std::nullopt;
}

void put_song_usable(JsonWriter& json, const Model& model) {
  json.key("act-song").value(can_open_song(model));
  json.key("act-song-close").value(can_close_song(model) && !is_file(model));
  json.key("act-song-reference").value(can_take_reference(model));
  json.key("act-song-record").value(can_take_reference(model));
  json.key("act-song-done").value(can_use_recording(model));
  json.key("act-song-listen").value(can_play_tape(model));
  json.key("act-song-file").value(can_play_tape(model));
  json.key("act-song-forget").value(can_play_tape(model) && !is_file(model));
  json.key("act-song-keep").value(in_song(model) && (follows_song(model) || is_file(model)));
  json.key("act-forget-tapes").value(model.song.tapes_set_aside);
}

Effects carry_out(Model& model, const SongIntent& intent) {
  namespace in = intent;
  return std::visit(Overloaded{
                        [&](const in::OpenSongBench&) { return open_song_bench(model); },
                        [&](const in::CloseSongBench&) { return close_song_bench(model); },
                        [&](const in::OpenReference&) { return open_song_file(model, SongFile::reference); },
                        [&](const in::RecordReference&) { return capture_song(model, SongCapture::reference); },
                        [&](const in::UseRecording&) { return use_recording(model); },
                        [&](const in::ForgetReference&) { return forget_reference(model); },
                        [&](const in::PlayTape&) { return capture_song(model, SongCapture::tape); },
                        [&](const in::OpenTape&) { return open_song_file(model, SongFile::tape); },
                        [&](const in::KeepTape& keep) { return keep_tape(model, keep); },
                        [&](const in::ForgetTape& forget) { return forget_tape(model, forget.index); },
                        [&](const in::ForgetBrokenTapes&) { return forget_broken_tapes(model); },
                        [&](const in::NameMachine& named) { return name_machine(model, named.name); },
                        [&](const in::Recorded& so_far) { return recorded(model, so_far); },
                    },
                    intent);
}

}  // namespace four76
