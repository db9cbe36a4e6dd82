// WavReader: float frames out of a WAV file at the file's own sample rate.
//
// The layout is that of "Multimedia Programming Interface and Data Specifications 1.0" (1991, RIFF and WAVE) with
// WAVE_FORMAT_EXTENSIBLE, and EBU Tech 3306 (RF64: files beyond 4 GiB). Read: PCM of 8, 16, 24 and 32 bits, float of 32
// and 64 bits, one or two channels. Other chunks are skipped. Nothing in the file is believed: a size that reaches past
// the end is cut to what is there, and no read leaves the bytes given. Samples that are not finite are passed on as
// they are.
//
// Two ways in: WavReader over a whole file in memory, or find_wav_layout() over its first bytes and then decode() for
// slices of the file, which needs no more memory than a slice.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "core/result.hpp"

namespace four76 {

enum class WavError : std::uint8_t {
  empty,              // no bytes at all
  not_wav,            // does not begin as a WAV file does
  big_endian,         // RIFX
  head_too_short,     // the sound lies beyond the first bytes that were given: give more of them
  no_format,          // the chunk that tells how to read the samples is missing or cut off
  no_data,            // the chunk that holds the samples is missing
  no_samples,         // it is there and holds not one frame
  compressed,         // neither PCM nor float
  unsupported_bits,   // a sample size that is none of the above
  too_many_channels,  // more than two, or none
  no_sample_rate,     // 0 Hz
};
// What is wrong and what to do, in a sentence or two.
std::string_view message_of(WavError error) noexcept;

struct WavLayout {
  enum class Sample : std::uint8_t { unsigned_8, signed_16, signed_24, signed_32, float_32, float_64 };
  Sample sample = Sample::signed_16;
  int channels = 1;
  std::uint32_t sample_rate_hz = 0;
  std::uint64_t data_offset_bytes = 0;  // of the first frame, from the start of the file
  std::uint64_t frames = 0;             // that the file really holds
  bool truncated = false;               // the file says that there were more

  [[nodiscard]] std::size_t bytes_per_sample() const noexcept;
  [[nodiscard]] std::size_t bytes_per_frame() const noexcept {
    return bytes_per_sample() * static_cast<std::size_t>(channels);
  }
  [[nodiscard]] double duration_s() const noexcept {
    return static_cast<double>(frames) / static_cast<double>(sample_rate_hz);
  }
};

// `head` is the file's beginning (64 KiB reach nearly always), or all of it.
Result<WavLayout, WavError> find_wav_layout(std::span<const std::byte> head, std::uint64_t file_size_bytes) noexcept;

// Turns whole frames into interleaved floats, full scale being 1; returns how many frames: as many as both sides hold.
std::size_t decode(const WavLayout& layout, std::span<const std::byte> frames, std::span<float> interleaved) noexcept;

class WavReader {
 public:
  // The bytes must outlive the reader.
  static Result<WavReader, WavError> open(std::span<const std::byte> file) noexcept;

  [[nodiscard]] const WavLayout& layout() const noexcept { return layout_; }
  // The next frames, as many as fit; returns how many, 0 at the end.
  std::size_t read(std::span<float> interleaved) noexcept;
  void rewind() noexcept { position_frames_ = 0; }

 private:
  WavReader(std::span<const std::byte> data, const WavLayout& layout) noexcept : data_(data), layout_(layout) {}

  std::span<const std::byte> data_;
  WavLayout layout_;
  std::uint64_t position_frames_ = 0;
};

}  // namespace four76
