#include "core/cli/audio_file.hpp"

#include <sndfile.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <system_error>
#include <utility>
#include <vector>

#include "core/signal/wav_reader.hpp"

namespace four76::cli {
namespace {

constexpr int kMpeg = 0x230000;  // SF_FORMAT_MPEG, which libsndfile has a name for since 1.1

namespace fs = std::filesystem;

// What can be told of a path before anything is read from it.
std::optional<std::string> fault_of_path(const std::string& path) {
  std::error_code error;
  const auto status = fs::status(path, error);
  if (status.type() == fs::file_type::not_found) return "does not exist: check the name and the folder";
  if (error) return "cannot be reached (" + error.message() + "): check the name and who may read it";
  if (fs::is_directory(status)) return "is a folder: name a file in it";
  if (!fs::is_regular_file(status))
    return "is not a file that can be read from its beginning: save the sound to a file first";
  const auto size_bytes = fs::file_size(path, error);
  if (!error && size_bytes == 0) return "is empty: record or copy it again";
  if (!std::ifstream(path, std::ios::binary)) return "may not be read: check who may read it";
  return std::nullopt;
}

// Whether the file's own header speaks of more sound than is there; the library cuts it to what there is, silently.
bool says_more_than_there_is(const std::string& path) {
  std::error_code error;
  const std::uint64_t size_bytes = fs::file_size(path, error);
  std::vector<char> head(65536);
  std::ifstream in(path, std::ios::binary);
  in.read(head.data(), static_cast<std::streamsize>(head.size()));
  head.resize(static_cast<std::size_t>(in.gcount()));
  if (error || head.size() < 12) return false;
  const auto bytes = std::as_bytes(std::span(head));
  if (std::string(head.data(), 4) == "FORM") {  // AIFF: its size in the next four bytes, highest first
    std::uint64_t told = 0;
    for (std::size_t i = 4; i < 8; ++i) told = told << 8 | std::to_integer<std::uint64_t>(bytes[i]);
    return told > size_bytes - 8;
  }
  const auto layout = find_wav_layout(bytes, size_bytes);
  return layout && layout.value().truncated;
}

std::string fault_of_open(int error) {
  switch (error) {
    case SF_ERR_UNRECOGNISED_FORMAT: return "is not a sound file that can be read: save it as WAV, FLAC, Ogg or AIFF";
    case SF_ERR_UNSUPPORTED_ENCODING: return "holds sound in a form that cannot be read: save it as 16 or 24 bit WAV";
    default: return "is damaged, or not a sound file: record or copy it again, or save it as WAV";
  }
}

std::string in_seconds(double seconds) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.2f s", seconds);
  return text.data();
}

}  // namespace

struct AudioFile::Handle {
  SNDFILE* file;
};
void AudioFile::HandleDeleter::operator()(Handle* handle) const noexcept {
  sf_close(handle->file);
  delete handle;
}

Result<AudioFile, std::string> AudioFile::open(const std::string& path) {
  if (auto fault = fault_of_path(path)) return *fault;
  SF_INFO info{};
  SNDFILE* const opened = sf_open(path.c_str(), SFM_READ, &info);
  if (!opened) return fault_of_open(sf_error(nullptr));
  AudioFile file;
  file.handle_.reset(new Handle{opened});
  file.sample_rate_hz_ = info.samplerate;
  file.channels_ = info.channels;
  // An MP3 does not say how long it is: what is told is reckoned from its first frames.
  file.frames_promised_ = (info.format & SF_FORMAT_TYPEMASK) == kMpeg ? 0 : info.frames;
  file.says_more_than_there_is_ = says_more_than_there_is(path);
  if (info.channels < 1 || info.channels > 2)
    return "has " + std::to_string(info.channels) + " channels: save it as mono or stereo";
  if (info.samplerate < 8000 || info.samplerate > 192000)
    return "has a sample rate of " + std::to_string(info.samplerate) +
           " Hz: save it with 8000 to 192000 Hz, 48000 is best";
  if (info.frames <= 0) return std::string("holds no sound: record or copy it again");
  return file;
}

std::size_t AudioFile::read(std::span<float> interleaved) {
  const auto channels = static_cast<std::size_t>(channels_);
  const auto wanted = static_cast<sf_count_t>(interleaved.size() / channels);
  const auto got =
      static_cast<std::size_t>(std::max<sf_count_t>(0, sf_readf_float(handle_->file, interleaved.data(), wanted)));
  for (const float sample : interleaved.first(got * channels))
    if (!std::isfinite(sample)) ++bad_samples_;
  if (got == 0 && sf_error(handle_->file) != SF_ERR_NO_ERROR) damaged_ = true;
  frames_read_ += static_cast<std::int64_t>(got);
  return got;
}

std::optional<std::string> AudioFile::complaint() const {
  if (says_more_than_there_is_ || damaged_ || frames_read_ < frames_promised_)
    return "ends after " + in_seconds(seconds_read()) +
           " though its header promises more: only that was measured; copy it again if sound is missing";
  if (bad_samples_ > 0)
    return "has " + std::to_string(bad_samples_) +
           " samples that are not numbers: they were left out; save the recording again with another program";
  return std::nullopt;
}

struct WavWriter::Handle {
  SNDFILE* file;
};
void WavWriter::HandleDeleter::operator()(Handle* handle) const noexcept {
  if (handle->file) sf_close(handle->file);
  delete handle;
}

Result<WavWriter, std::string> WavWriter::create(const std::string& path, int sample_rate_hz) {
  SF_INFO info{};
  info.samplerate = sample_rate_hz;
  info.channels = 1;
  info.format = SF_FORMAT_WAV | SF_FORMAT_PCM_24;
  SNDFILE* const opened = sf_open(path.c_str(), SFM_WRITE, &info);
  if (!opened) return std::string("cannot be written: check that the folder exists and that you may write there");
  sf_command(opened, SFC_SET_CLIPPING, nullptr, SF_TRUE);  // full scale must not wrap round to the other side
  WavWriter writer;
  writer.handle_.reset(new Handle{opened});
  return writer;
}

bool WavWriter::write(std::span<const float> samples) {
  const auto count = static_cast<sf_count_t>(samples.size());
  return sf_writef_float(handle_->file, samples.data(), count) == count;
}

bool WavWriter::close() { return sf_close(std::exchange(handle_->file, nullptr)) == 0; }

}  // namespace four76::cli
