// ToneFile: a test tone as the bytes of a WAV file, piece by piece, so that half an hour needs no memory.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "core/bench/test_tape.hpp"
#include "core/signal/wav_writer.hpp"

namespace four76 {

class ToneFile {
 public:
  // What is wrong, in words; nothing where it can be made. It has then begun anew.
  std::optional<std::string_view> begin(const TestTone::Config& config);
  // The next bytes, as many as there are left; returns how many.
  std::size_t next(std::span<std::byte> bytes);

 private:
  std::optional<TestTone> tone_;
  std::array<std::byte, kWavHeadBytes> head_{};
  std::size_t head_given_ = 0;
  Pcm16 pcm_;
  std::vector<float> samples_;
};

}  // namespace four76
