#include "core/signal/wav_writer.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <string_view>

namespace four76 {
namespace {

constexpr std::uint64_t kMostBytes = 0xFFFFFFFFu;

}  // namespace

std::optional<std::array<std::byte, kWavHeadBytes>> wav_head(std::uint32_t sample_rate_hz, std::uint16_t channels,
                                                             std::uint64_t frames) noexcept {
  const std::uint64_t frame_bytes = std::uint64_t{2} * channels;
  if (sample_rate_hz == 0 || channels == 0 || frames > (kMostBytes - kWavHeadBytes) / frame_bytes) return std::nullopt;
  const std::uint64_t bytes_a_second = frame_bytes * sample_rate_hz;
  if (bytes_a_second > kMostBytes) return std::nullopt;
  std::array<std::byte, kWavHeadBytes> head{};
  std::size_t at = 0;
  const auto word = [&](std::string_view text) {
    for (const char c : text) head[at++] = static_cast<std::byte>(c);
  };
  const auto number = [&](std::uint64_t value, int bytes) {
    for (int i = 0; i < bytes; ++i) head[at++] = static_cast<std::byte>(value >> (8 * i) & 0xFFu);
  };
  word("RIFF");
  number(kWavHeadBytes - 8 + frames * frame_bytes, 4);
  word("WAVEfmt ");
  number(16, 4);  // bytes of the format
  number(1, 2);   // PCM
  number(channels, 2);
  number(sample_rate_hz, 4);
  number(bytes_a_second, 4);
  number(frame_bytes, 2);
  number(16, 2);  // bits
  word("data");
  number(frames * frame_bytes, 4);
  return head;
}

void Pcm16::process(std::span<const float> samples, std::span<std::byte> bytes) noexcept {
  assert(bytes.size() == 2 * samples.size() && "two bytes a sample");
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const double dither = noise_.next_uniform() - noise_.next_uniform();
    const double sample = std::isfinite(samples[i]) ? static_cast<double>(samples[i]) : 0.0;
    const auto step = std::lround(std::clamp(32767.0 * sample + dither, -32768.0, 32767.0));
    bytes[2 * i] = static_cast<std::byte>(step & 0xFF);
    bytes[2 * i + 1] = static_cast<std::byte>(step >> 8 & 0xFF);
  }
}

}  // namespace four76
