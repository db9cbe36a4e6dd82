// worker: measuring a file in a Worker, over the same wasm as the page but without a drawing.
//
// shell/file_worker.js loads the module with `noInitialRun` and drives the C functions that worker.cpp exports: begin,
// a buffer to fill, process, finish. What comes back is an encoded Snapshot whose `whole` readings are computed.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/tone/tone_session.hpp"

namespace four76 {

class FileJob {
 public:
  // The fault in words, or nothing when the job has begun.
  std::optional<std::string> begin(double sample_rate_hz, int channels, double nominal_hz);
  // Room for `frames` interleaved frames, to be filled before process(frames).
  std::span<float> buffer(std::size_t frames);
  void process(std::size_t frames);
  std::vector<std::uint8_t> finish();

 private:
  std::optional<ToneSession> session_;
  std::vector<float> buffer_;
  int channels_ = 1;
};

}  // namespace four76
