// worker: measuring a file in a Worker, over the same wasm as the page but without a drawing.
//
// shell/file_worker.js loads the module with `noInitialRun` and drives the C functions that worker.cpp exports: open
// (a WAV's head) or begin (decoded sound), a buffer to fill, process, finish. What comes back is an encoded Snapshot
// whose `whole` readings are computed; of a song its samples, or an encoded SongResult. Only a slice of the file is in
// memory at a time.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/signal/wav_reader.hpp"
#include "core/tone/tone_session.hpp"
#include "web/song/match/job.hpp"

namespace four76 {

class FileJob {
 public:
  // Finds out how a WAV file is to be read, from its first bytes; see find_wav_layout. The fault in words, or nothing.
  enum class Head : std::uint8_t { found, faulty, give_more };
  Head open_wav(std::span<const std::byte> head, std::uint64_t file_size_bytes);
  [[nodiscard]] const WavLayout& wav() const { return wav_; }

  // The fault in words, or nothing when the job has begun.
  std::optional<std::string> begin(const ToneSession::Config& config);
  // Likewise of a song: a reference, or a tape.
  std::optional<std::string> begin_song(double sample_rate_hz, int channels, double frames, bool tape);
  // Room for so many bytes of a WAV file, or interleaved frames, to be filled before it is processed.
  std::span<std::byte> bytes(std::size_t size);
  std::span<float> buffer(std::size_t frames);
  void process_wav(std::size_t size);
  void process(std::size_t frames);
  std::vector<std::uint8_t> finish();

  std::string fault;            // of the last step that had one
  std::optional<SongJob> song;  // where the file is none of a tone

 private:
  std::optional<ToneSession> session_;
  WavLayout wav_;
  std::vector<std::byte> bytes_;
  std::vector<float> buffer_;
  std::size_t channels_ = 1;
};

}  // namespace four76
