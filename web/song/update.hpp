// The song bench's part of update: the reference, a tape that plays or comes as a file, and the tapes that vote.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>

#include "web/effect.hpp"
#include "web/model.hpp"
#include "web/platform/browser.hpp"
#include "web/song/intents.hpp"

namespace four76 {

// What of it ends with whatever runs; the reference stays.
void end_song(Model& model);
Effects open_song_bench(Model& model);
Effects close_song_bench(Model& model);
Effects open_song_file(Model& model, SongFile what);
Effects capture_song(Model& model, SongCapture what);
Effects capture_anew(Model& model);                     // the same by another microphone
Effects song_captured(Model& model, double discard_s);  // the microphone has begun
Effects use_recording(Model& model);
Effects recorded(Model& model, const intent::Recorded& so_far);
Effects forget_reference(Model& model);
Effects song_file_started(Model& model, const browser::SongFileStarted& file);
Effects song_read(Model& model, double seconds);
Effects song_matched(Model& model, std::span<const std::uint8_t> bytes);
Effects keep_tape(Model& model, const intent::KeepTape& keep);
Effects forget_tape(Model& model, std::size_t index);
Effects forget_broken_tapes(Model& model);
Effects name_machine(Model& model, const std::string& name);
void restore_tapes(Model& model, const std::string& kept);
void judge_song(Model& model);  // a tape's file, by the tolerance

}  // namespace four76
