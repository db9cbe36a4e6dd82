// Any bytes at all: the reader refuses them or reads frames that really lie within them.
#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <span>

#include "core/signal/wav_reader.hpp"

namespace {

void require(bool holds) {
  if (!holds) std::abort();
}

void check_layout(const four76::WavLayout& layout, std::uint64_t file_bytes) {
  require(layout.frames > 0);
  require(layout.channels == 1 || layout.channels == 2);
  require(layout.sample_rate_hz > 0);
  require(layout.data_offset_bytes <= file_bytes);
  require(layout.frames <= (file_bytes - layout.data_offset_bytes) / layout.bytes_per_frame());
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto file = std::as_bytes(std::span(data, size));
  if (auto reader = four76::WavReader::open(file)) {
    const four76::WavLayout layout = reader->layout();
    check_layout(layout, size);
    std::array<float, 14> block{};
    std::uint64_t frames = 0;
    while (const std::size_t count = reader->read(block)) frames += count;
    require(frames == layout.frames);
  } else {
    require(!four76::message_of(reader.fault()).empty());
  }

  // The same file by its first bytes, said to be as long as the first two bytes like.
  const std::uint64_t said_bytes = size < 2 ? size : size + (std::uint64_t{data[0]} << (data[1] % 48));
  if (const auto layout = four76::find_wav_layout(file.first(size / 2), said_bytes))
    check_layout(layout.value(), said_bytes);
  return 0;
}
