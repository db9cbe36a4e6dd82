#include "web/platform/worker.hpp"

#include <emscripten.h>

#include "core/phrase.hpp"
#include "web/snapshot/snapshot.hpp"

namespace four76 {

FileJob::Head FileJob::open_wav(std::span<const std::byte> head, std::uint64_t file_size_bytes) {
  fault.clear();
  const auto layout = find_wav_layout(head, file_size_bytes);
  if (layout) {
    wav_ = *layout;
    return Head::found;
  }
  fault = message_of(layout.fault());
  return layout.fault() == WavError::head_too_short ? Head::give_more : Head::faulty;
}

std::optional<std::string> FileJob::begin(const ToneSession::Config& config) {
  if (const auto wrong = ToneSession::fault_in(config)) return std::string(*wrong);
  channels_ = static_cast<std::size_t>(config.channels);
  session_.emplace(config);
  return std::nullopt;
}

std::optional<std::string> FileJob::begin_song(double sample_rate_hz, int channels, double frames, bool tape) {
  channels_ = static_cast<std::size_t>(channels);
  return song.emplace().begin(sample_rate_hz, channels, frames, tape);
}

std::span<std::byte> FileJob::bytes(std::size_t size) {
  bytes_.resize(size);
  return bytes_;
}

std::span<float> FileJob::buffer(std::size_t frames) {
  buffer_.resize(frames * channels_);
  return buffer_;
}

void FileJob::process_wav(std::size_t size) {
  const std::size_t frames = size / wav_.bytes_per_frame();
  const std::size_t decoded = decode(wav_, std::span<const std::byte>(bytes_).first(size), buffer(frames));
  process(decoded);
}

void FileJob::process(std::size_t frames) {
  const auto sound = std::span<const float>(buffer_).first(frames * channels_);
  if (song) return song->take(sound);
  session_->process(sound);
}

std::vector<std::uint8_t> FileJob::finish() {
  FlutterPictures pictures;
  refresh(*session_, Stretch::whole, pictures);
  Snapshot snapshot;
  take_snapshot(*session_, true, pictures, snapshot);
  snapshot.cut_short = wav_.truncated;
  return encode(snapshot);
}

}  // namespace four76

// clang-format off
EM_JS(void, js_worker_progress, (double done), { Module.progress(done); });
// clang-format on

// ---- What shell/file_worker.js calls --------------------------------------------------------------------------------
namespace {

four76::FileJob& job() {
  static four76::FileJob the_job;
  return the_job;
}
std::vector<std::uint8_t> result;

four76::ToneSession::Config config_of(double sample_rate_hz, int channels, double nominal_hz, int sure,
                                      double near_hz) {
  four76::ToneSession::Config config;
  config.sample_rate_hz = sample_rate_hz;
  config.channels = channels;
  config.nominal_hz = nominal_hz;
  config.tone_is_sure = sure != 0;
  if (near_hz > 0.0) config.near_hz = near_hz;
  return config;
}

const char* told(const std::optional<std::string>& fault) {
  job().fault = fault.value_or("");
  return fault ? job().fault.c_str() : nullptr;
}

}  // namespace

extern "C" {

EMSCRIPTEN_KEEPALIVE std::byte* file_bytes(int size) { return job().bytes(static_cast<std::size_t>(size)).data(); }
// The catalogue of what is told (core/phrase.hpp), put into file_bytes(size).
EMSCRIPTEN_KEEPALIVE void file_language(int size) {
  const auto bytes = job().bytes(static_cast<std::size_t>(size));
  four76::set_language({reinterpret_cast<const char*>(bytes.data()), bytes.size()});
}
EMSCRIPTEN_KEEPALIVE float* file_buffer(int frames) { return job().buffer(static_cast<std::size_t>(frames)).data(); }

// Of a WAV whose head was put into file_bytes(size): 1 where more of it is wanted. file_fault says what is wrong.
EMSCRIPTEN_KEEPALIVE int file_open_wav(int size, double file_size_bytes) {
  const auto head = job().bytes(static_cast<std::size_t>(size));
  return job().open_wav(head, static_cast<std::uint64_t>(file_size_bytes)) == four76::FileJob::Head::give_more ? 1 : 0;
}
// Null where nothing is wrong, as with the two that begin.
EMSCRIPTEN_KEEPALIVE const char* file_fault() { return job().fault.empty() ? nullptr : job().fault.c_str(); }
EMSCRIPTEN_KEEPALIVE double file_wav_frames() { return static_cast<double>(job().wav().frames); }
EMSCRIPTEN_KEEPALIVE double file_wav_offset() { return static_cast<double>(job().wav().data_offset_bytes); }
EMSCRIPTEN_KEEPALIVE int file_wav_frame_bytes() { return static_cast<int>(job().wav().bytes_per_frame()); }
// `near_hz` is 0 where it was not said which of two tones is the tape's.
EMSCRIPTEN_KEEPALIVE const char* file_begin_wav(double nominal_hz, int sure, double near_hz) {
  return told(job().begin(config_of(job().wav().sample_rate_hz, job().wav().channels, nominal_hz, sure, near_hz)));
}
EMSCRIPTEN_KEEPALIVE void file_process_wav(int size) { job().process_wav(static_cast<std::size_t>(size)); }

// Of sound that the browser decoded, interleaved in file_buffer(frames).
EMSCRIPTEN_KEEPALIVE const char* file_begin(double sample_rate_hz, int channels, double nominal_hz, int sure,
                                            double near_hz) {
  return told(job().begin(config_of(sample_rate_hz, channels, nominal_hz, sure, near_hz)));
}
EMSCRIPTEN_KEEPALIVE void file_process(int frames) { job().process(static_cast<std::size_t>(frames)); }

// ---- Of a song: these in place of the two that begin, and of file_finish ------------------------------------------
EMSCRIPTEN_KEEPALIVE const char* file_begin_song_wav(int tape) {
  const four76::WavLayout& wav = job().wav();
  return told(job().begin_song(wav.sample_rate_hz, wav.channels, static_cast<double>(wav.frames), tape != 0));
}
EMSCRIPTEN_KEEPALIVE const char* file_begin_song(double sample_rate_hz, int channels, double frames, int tape) {
  return told(job().begin_song(sample_rate_hz, channels, frames, tape != 0));
}
EMSCRIPTEN_KEEPALIVE double file_song_frames() { return job().song->frames_wanted(); }
EMSCRIPTEN_KEEPALIVE const char* file_song_fault() { return told(job().song->finish()); }
EMSCRIPTEN_KEEPALIVE const float* file_song_samples() { return job().song->samples().data(); }
EMSCRIPTEN_KEEPALIVE int file_song_size() { return static_cast<int>(job().song->samples().size()); }
EMSCRIPTEN_KEEPALIVE float* file_song_reference(int samples) {
  return job().song->reference(static_cast<std::size_t>(samples)).data();
}
EMSCRIPTEN_KEEPALIVE int file_song_match() {
  result = job().song->match(js_worker_progress);
  return static_cast<int>(result.size());
}

// The result's size; file_result is where it lies.
EMSCRIPTEN_KEEPALIVE int file_finish() {
  result = job().finish();
  return static_cast<int>(result.size());
}
EMSCRIPTEN_KEEPALIVE const std::uint8_t* file_result() { return result.data(); }

}  // extern "C"
