// The edge to sound files: libsndfile reads and writes them, nothing else here knows it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>

#include "core/result.hpp"

namespace four76::cli {

// Reads a file (WAV, FLAC, Ogg, AIFF and whatever else the library knows) in blocks of floats, full scale being 1.
class AudioFile {
 public:
  // The fault is a phrase that goes behind the file's name: "is empty: record or copy it again".
  static Result<AudioFile, std::string> open(const std::string& path);

  [[nodiscard]] int sample_rate_hz() const noexcept { return sample_rate_hz_; }
  [[nodiscard]] int channels() const noexcept { return channels_; }
  // Whole frames, as many as fit; returns how many, 0 at the end.
  std::size_t read(std::span<float> interleaved);
  [[nodiscard]] double seconds_read() const noexcept {
    return static_cast<double>(frames_read_) / static_cast<double>(sample_rate_hz_);
  }
  // At the end: what was wrong with the file though it could be read, as a phrase like the one above.
  [[nodiscard]] std::optional<std::string> complaint() const;

 private:
  struct Handle;
  struct HandleDeleter {
    void operator()(Handle* handle) const noexcept;
  };
  AudioFile() = default;

  std::unique_ptr<Handle, HandleDeleter> handle_;
  int sample_rate_hz_ = 0;
  int channels_ = 0;
  std::int64_t frames_promised_ = 0;
  std::int64_t frames_read_ = 0;
  std::int64_t bad_samples_ = 0;  // not a number, or infinite
  bool says_more_than_there_is_ = false;
  bool damaged_ = false;
};

// Writes mono floats as a 24-bit PCM WAV file.
class WavWriter {
 public:
  static Result<WavWriter, std::string> create(const std::string& path, int sample_rate_hz);
  // False where the disk did not take all of it.
  [[nodiscard]] bool write(std::span<const float> samples);
  [[nodiscard]] bool close();

 private:
  struct Handle;
  struct HandleDeleter {
    void operator()(Handle* handle) const noexcept;
  };
  WavWriter() = default;
  std::unique_ptr<Handle, HandleDeleter> handle_;
};

}  // namespace four76::cli
