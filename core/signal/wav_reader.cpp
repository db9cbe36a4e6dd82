#include "core/signal/wav_reader.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <limits>
#include <optional>

#include "core/phrase.hpp"

namespace four76 {
namespace {

using Bytes = std::span<const std::byte>;

// Least significant byte first, as everything in a WAV file.
template <class Word>
Word word_at(Bytes bytes, std::size_t at, std::size_t size = sizeof(Word)) noexcept {
  Word word = 0;
  for (std::size_t i = 0; i < size; ++i)
    word = static_cast<Word>(word | static_cast<Word>(std::to_integer<Word>(bytes[at + i]) << (8 * i)));
  return word;
}

bool has_name(Bytes bytes, std::size_t at, std::string_view name) noexcept {
  if (at > bytes.size() || bytes.size() - at < name.size()) return false;
  for (std::size_t i = 0; i < name.size(); ++i)
    if (std::to_integer<char>(bytes[at + i]) != name[i]) return false;
  return true;
}

// Chunk names are four printable characters.
bool could_be_a_chunk(Bytes bytes, std::uint64_t at) noexcept {
  if (at > bytes.size() || bytes.size() - at < 8) return false;
  for (std::size_t i = 0; i < 4; ++i) {
    const auto c = std::to_integer<unsigned>(bytes[static_cast<std::size_t>(at) + i]);
    if (c < 0x20 || c > 0x7e) return false;
  }
  return word_at<std::uint32_t>(bytes, static_cast<std::size_t>(at) + 4) <= bytes.size() - at - 8;
}

constexpr std::uint32_t kSizeUnknown = 0xFFFFFFFFu;  // in RF64 the size stands in the ds64 chunk; writers to pipes too
constexpr std::uint16_t kPcm = 1, kFloat = 3, kExtensible = 0xFFFE;
// The last 14 bytes of the sub-format's identifier, whose first two are the plain format's number.
constexpr std::array<unsigned char, 14> kSubFormatTail = {0x00, 0x00, 0x00, 0x00, 0x10, 0x00, 0x80,
                                                          0x00, 0x00, 0xAA, 0x00, 0x38, 0x9B, 0x71};

// The format's number, taken from the sub-format where the chunk is of the extensible kind; nothing where it is cut off
// or of a kind unknown here.
std::optional<std::uint16_t> format_of(Bytes chunk) noexcept {
  const auto format = word_at<std::uint16_t>(chunk, 0);
  if (format != kExtensible) return format;
  if (chunk.size() < 40) return std::nullopt;
  for (std::size_t i = 0; i < kSubFormatTail.size(); ++i)
    if (std::to_integer<unsigned char>(chunk[26 + i]) != kSubFormatTail[i]) return std::nullopt;
  return word_at<std::uint16_t>(chunk, 24);
}

// The bytes a sample takes. Usually its bits rounded up; 20 or 24 bits may lie in a wider word, filled from the top,
// and then only the frame's size tells.
std::size_t sample_bytes(std::uint16_t bits, std::uint16_t frame_bytes, std::uint16_t channels) noexcept {
  const std::size_t least = (bits + 7u) / 8u;
  const std::size_t told = frame_bytes % channels == 0 ? frame_bytes / channels : 0u;
  return told > least && told <= 4 ? told : least;
}

std::optional<WavLayout::Sample> sample_kind(std::uint16_t format, std::size_t bytes) noexcept {
  using enum WavLayout::Sample;
  if (format == kFloat && bytes == 4) return float_32;
  if (format == kFloat && bytes == 8) return float_64;
  if (format != kPcm || bytes < 1 || bytes > 4) return std::nullopt;
  return std::array{unsigned_8, signed_16, signed_24, signed_32}[bytes - 1];
}

Result<WavLayout, WavError> read_format(Bytes chunk) noexcept {
  if (chunk.size() < 16) return WavError::no_format;
  WavLayout layout;
  const auto channels = word_at<std::uint16_t>(chunk, 2);
  layout.sample_rate_hz = word_at<std::uint32_t>(chunk, 4);
  if (channels < 1 || channels > 2) return WavError::too_many_channels;
  if (layout.sample_rate_hz == 0) return WavError::no_sample_rate;
  const auto format = format_of(chunk);
  if (!format || (*format != kPcm && *format != kFloat)) return WavError::compressed;
  const auto bytes = sample_bytes(word_at<std::uint16_t>(chunk, 14), word_at<std::uint16_t>(chunk, 12), channels);
  const auto sample = sample_kind(*format, bytes);
  if (!sample) return WavError::unsupported_bits;
  layout.channels = channels;
  layout.sample = *sample;
  return layout;
}

// Sets where the samples lie and how many there are; `told_bytes` is what the file says of its data chunk.
void place_data(WavLayout& layout, Bytes head, std::uint64_t at, std::uint64_t told_bytes,
                std::uint64_t file_bytes) noexcept {
  const std::uint64_t there_bytes = file_bytes - at;
  // A recorder that was cut off never came back to write the size. Tell that from a chunk that is truly empty by what
  // comes next.
  const bool unfinished = told_bytes == 0 && there_bytes > 0 && !could_be_a_chunk(head, at);
  layout.data_offset_bytes = at;
  layout.truncated = unfinished || told_bytes > there_bytes;
  layout.frames = (unfinished ? there_bytes : std::min(told_bytes, there_bytes)) / layout.bytes_per_frame();
}

// Walks over the chunks until both the format and the data were met, in whichever order.
struct Walk {
  Bytes head;
  std::uint64_t file_bytes;
  bool has_big_sizes;  // RF64
  std::uint64_t at = 12;
  std::uint64_t big_data_bytes = 0;
  bool has_layout = false, has_data = false;
  WavLayout layout = {};
  std::uint64_t data_at = 0;
  std::uint64_t data_bytes = 0;

  [[nodiscard]] bool done() const noexcept { return has_layout && has_data; }
  [[nodiscard]] bool in_head() const noexcept { return at <= head.size() && head.size() - at >= 8; }

  std::optional<WavError> step() noexcept {
    const auto name_at = static_cast<std::size_t>(at);
    const std::size_t body_at = name_at + 8;
    std::uint64_t size = word_at<std::uint32_t>(head, name_at + 4);
    const auto body =
        head.subspan(body_at, static_cast<std::size_t>(std::min<std::uint64_t>(size, head.size() - body_at)));
    if (has_big_sizes && has_name(head, name_at, "ds64") && body.size() >= 16) {
      big_data_bytes = word_at<std::uint64_t>(body, 8);
    } else if (!has_layout && has_name(head, name_at, "fmt ")) {
      const auto format = read_format(body);
      if (!format) return format.fault();
      layout = *format;
      has_layout = true;
    } else if (!has_data && has_name(head, name_at, "data")) {
      if (has_big_sizes && size == kSizeUnknown) size = big_data_bytes;
      data_at = body_at;
      has_data = true;
      data_bytes = size;
    }
    const std::uint64_t left = file_bytes - body_at;
    at = size >= left ? file_bytes : body_at + size + (size & 1);  // chunks begin at even places
    return std::nullopt;
  }
};

// The number whose bits a word holds (std::bit_cast is missing from Emscripten 3.1.6's library).
template <class Number, class Word>
Number of_bits(Word word) noexcept {
  static_assert(sizeof(Number) == sizeof(Word));
  Number number;
  std::memcpy(&number, &word, sizeof number);
  return number;
}

float to_float(double value) noexcept {
  // Beyond a float's range the conversion is undefined; what lies there is no sample anyway.
  constexpr double kLimit = std::numeric_limits<float>::max();
  if (std::abs(value) > kLimit) return std::numeric_limits<float>::infinity();
  return static_cast<float>(value);
}

float sample_at(WavLayout::Sample sample, Bytes bytes, std::size_t at) noexcept {
  switch (sample) {
    case WavLayout::Sample::unsigned_8: return static_cast<float>(std::to_integer<int>(bytes[at]) - 128) / 128.0f;
    case WavLayout::Sample::signed_16:
      return static_cast<float>(static_cast<std::int16_t>(word_at<std::uint16_t>(bytes, at))) / 32768.0f;
    case WavLayout::Sample::signed_24:  // placed at the top of a 32-bit word, which settles the sign
      return static_cast<float>(static_cast<std::int32_t>(word_at<std::uint32_t>(bytes, at, 3) << 8)) / 2147483648.0f;
    case WavLayout::Sample::signed_32:
      return static_cast<float>(static_cast<std::int32_t>(word_at<std::uint32_t>(bytes, at))) / 2147483648.0f;
    case WavLayout::Sample::float_32: return of_bits<float>(word_at<std::uint32_t>(bytes, at));
    case WavLayout::Sample::float_64: return to_float(of_bits<double>(word_at<std::uint64_t>(bytes, at)));
  }
  return 0.0f;
}

}  // namespace

std::string_view message_of(WavError error) noexcept {
  switch (error) {
    case WavError::empty: return tr("The file is empty. Record or copy it again.");
    case WavError::not_wav: return tr("This is not a WAV file. Save the recording as WAV, or choose another file.");
    case WavError::big_endian:
      return tr("This WAV file has its bytes in the reverse order. Save it as a plain WAV file.");
    case WavError::head_too_short: return tr("The sound begins too far into the file. Save it as a plain WAV file.");
    case WavError::no_format:
      return tr("The file does not say how its sound is stored. Save the recording as WAV again.");
    case WavError::no_data: return tr("The file ends before any sound. Record or copy it again.");
    case WavError::no_samples: return tr("The file holds no sound. Record or copy it again.");
    case WavError::compressed: return tr("The sound in this WAV file is compressed. Save it as 16 or 24 bit PCM.");
    case WavError::unsupported_bits: return tr("The samples have an unusual size. Save the file as 16 or 24 bit PCM.");
    case WavError::too_many_channels:
      return tr("Only one or two channels can be measured. Save the file as mono or stereo.");
    case WavError::no_sample_rate: return tr("The file does not say its sample rate. Save the recording as WAV again.");
  }
  return tr("The file cannot be read.");
}

std::size_t WavLayout::bytes_per_sample() const noexcept {
  switch (sample) {
    case Sample::unsigned_8: return 1;
    case Sample::signed_16: return 2;
    case Sample::signed_24: return 3;
    case Sample::signed_32:
    case Sample::float_32: return 4;
    case Sample::float_64: return 8;
  }
  return 1;
}

Result<WavLayout, WavError> find_wav_layout(Bytes head, std::uint64_t file_size_bytes) noexcept {
  file_size_bytes = std::max<std::uint64_t>(file_size_bytes, head.size());
  if (file_size_bytes == 0) return WavError::empty;
  if (has_name(head, 0, "RIFX")) return WavError::big_endian;
  const bool big = has_name(head, 0, "RF64");
  if ((!big && !has_name(head, 0, "RIFF")) || !has_name(head, 8, "WAVE")) return WavError::not_wav;

  Walk walk{.head = head, .file_bytes = file_size_bytes, .has_big_sizes = big};
  while (!walk.done() && walk.in_head())
    if (const auto error = walk.step()) return *error;

  if (!walk.done()) {
    if (walk.at < file_size_bytes && head.size() < file_size_bytes) return WavError::head_too_short;
    return walk.has_layout ? WavError::no_data : WavError::no_format;
  }
  place_data(walk.layout, head, walk.data_at, walk.data_bytes, file_size_bytes);
  if (walk.layout.frames == 0) return WavError::no_samples;
  return walk.layout;
}

std::size_t decode(const WavLayout& layout, Bytes frames, std::span<float> interleaved) noexcept {
  const std::size_t step = layout.bytes_per_sample();
  const auto channels = static_cast<std::size_t>(layout.channels);
  const std::size_t count = std::min(frames.size() / layout.bytes_per_frame(), interleaved.size() / channels);
  for (std::size_t i = 0; i < count * channels; ++i) interleaved[i] = sample_at(layout.sample, frames, i * step);
  return count;
}

Result<WavReader, WavError> WavReader::open(Bytes file) noexcept {
  const auto layout = find_wav_layout(file, file.size());
  if (!layout) return layout.fault();
  const auto size = static_cast<std::size_t>(layout->frames) * layout->bytes_per_frame();
  return WavReader(file.subspan(static_cast<std::size_t>(layout->data_offset_bytes), size), *layout);
}

std::size_t WavReader::read(std::span<float> interleaved) noexcept {
  const auto at = static_cast<std::size_t>(position_frames_) * layout_.bytes_per_frame();
  const std::size_t count = decode(layout_, data_.subspan(at), interleaved);
  position_frames_ += count;
  return count;
}

}  // namespace four76
