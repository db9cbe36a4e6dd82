#include "web/worker.hpp"

#include <emscripten.h>

#include "web/snapshot.hpp"

namespace four76 {

std::optional<std::string> FileJob::begin(double sample_rate_hz, int channels, double nominal_hz) {
  ToneSession::Config config;
  config.sample_rate_hz = sample_rate_hz;
  config.channels = channels;
  config.nominal_hz = nominal_hz;
  if (const auto fault = ToneSession::fault_in(config)) return std::string(*fault);
  channels_ = channels;
  session_.emplace(config);
  return std::nullopt;
}

std::span<float> FileJob::buffer(std::size_t frames) {
  buffer_.resize(frames * static_cast<std::size_t>(channels_));
  return buffer_;
}

void FileJob::process(std::size_t frames) {
  session_->process(std::span<const float>(buffer_).first(frames * static_cast<std::size_t>(channels_)));
}

std::vector<std::uint8_t> FileJob::finish() {
  Snapshot snapshot;
  take_snapshot(*session_, true, snapshot);
  return encode(snapshot);
}

}  // namespace four76

// ---- What shell/file_worker.js calls --------------------------------------------------------------------------------
namespace {

four76::FileJob job;
std::string fault;
std::vector<std::uint8_t> result;

}  // namespace

extern "C" {

// Null when the job has begun, else what is wrong in words.
EMSCRIPTEN_KEEPALIVE const char* file_begin(double sample_rate_hz, int channels, double nominal_hz) {
  const auto answer = job.begin(sample_rate_hz, channels, nominal_hz);
  if (!answer) return nullptr;
  fault = *answer;
  return fault.c_str();
}
EMSCRIPTEN_KEEPALIVE float* file_buffer(int frames) { return job.buffer(static_cast<std::size_t>(frames)).data(); }
EMSCRIPTEN_KEEPALIVE void file_process(int frames) { job.process(static_cast<std::size_t>(frames)); }
// The result's size; file_result is where it lies.
EMSCRIPTEN_KEEPALIVE int file_finish() {
  result = job.finish();
  return static_cast<int>(result.size());
}
EMSCRIPTEN_KEEPALIVE const std::uint8_t* file_result() { return result.data(); }

}  // extern "C"
