#include "core/signal/wav_reader.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <initializer_list>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace four76 {
namespace {

// A WAV file put together byte by byte, as plainly as can be.
struct Bytes {
  std::vector<std::byte> all;
  Bytes& text(std::string_view s) {
    for (const char c : s) all.push_back(static_cast<std::byte>(c));
    return *this;
  }
  Bytes& number(std::uint64_t value, int bytes) {
    for (int i = 0; i < bytes; ++i) all.push_back(static_cast<std::byte>((value >> (8 * i)) & 0xFF));
    return *this;
  }
  Bytes& number(float value) { return raw(value); }
  Bytes& number(double value) { return raw(value); }
  template <class T>
  Bytes& raw(T value) {
    std::array<std::byte, sizeof(T)> bytes;
    std::memcpy(bytes.data(), &value, sizeof value);
    all.insert(all.end(), bytes.begin(), bytes.end());
    return *this;
  }
  Bytes& chunk(std::string_view name, const Bytes& body) {
    text(name).number(body.all.size(), 4);
    all.insert(all.end(), body.all.begin(), body.all.end());
    if (body.all.size() % 2) number(0, 1);
    return *this;
  }
};

Bytes format(int tag, int channels, std::uint32_t rate_hz, int bits, int frame_bytes = -1) {
  if (frame_bytes < 0) frame_bytes = channels * ((bits + 7) / 8);
  Bytes b;
  b.number(static_cast<unsigned>(tag), 2).number(static_cast<unsigned>(channels), 2).number(rate_hz, 4);
  return b.number(rate_hz * static_cast<unsigned>(frame_bytes), 4)
      .number(static_cast<unsigned>(frame_bytes), 2)
      .number(static_cast<unsigned>(bits), 2);
}

Bytes extensible(int sub_format, int channels, std::uint32_t rate_hz, int bits, int valid_bits) {
  Bytes b = format(0xFFFE, channels, rate_hz, bits);
  b.number(22, 2)
      .number(static_cast<unsigned>(valid_bits), 2)
      .number(0, 4)
      .number(static_cast<unsigned>(sub_format), 2);
  for (const int v : {0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71})
    b.number(static_cast<unsigned>(v), 1);
  return b;
}

Bytes wav(const Bytes& chunks, std::string_view magic = "RIFF") {
  Bytes b;
  b.text(magic).number(chunks.all.size() + 4, 4).text("WAVE");
  b.all.insert(b.all.end(), chunks.all.begin(), chunks.all.end());
  return b;
}

Bytes simple(const Bytes& fmt, const Bytes& data) { return wav(Bytes().chunk("fmt ", fmt).chunk("data", data)); }

Bytes samples16(std::initializer_list<int> values) {
  Bytes b;
  for (const int v : values) b.number(static_cast<std::uint16_t>(v), 2);
  return b;
}

std::vector<float> read_all(const Bytes& file) {
  auto reader = WavReader::open(file.all);
  EXPECT_TRUE(reader) << message_of(reader.fault());
  if (!reader) return {};
  std::vector<float> out(
      static_cast<std::size_t>(reader->layout().frames) * static_cast<std::size_t>(reader->layout().channels) + 7,
      99.0f);
  out.resize(reader->read(out) * static_cast<std::size_t>(reader->layout().channels));
  return out;
}

std::optional<WavError> fault_of(const Bytes& file) {
  const auto reader = WavReader::open(file.all);
  if (reader) return std::nullopt;
  EXPECT_FALSE(message_of(reader.fault()).empty());
  return reader.fault();
}

TEST(WavReader, ReadsPcmOfEveryWidthToFullScale) {
  EXPECT_EQ(read_all(simple(format(1, 1, 8000, 8), Bytes().number(0, 1).number(128, 1).number(255, 1))),
            (std::vector<float>{-1.0f, 0.0f, 127.0f / 128.0f}));
  EXPECT_EQ(read_all(simple(format(1, 1, 8000, 16), samples16({-32768, 0, 16384, -1}))),
            (std::vector<float>{-1.0f, 0.0f, 0.5f, -1.0f / 32768.0f}));
  EXPECT_EQ(
      read_all(simple(format(1, 1, 8000, 24), Bytes().number(0x800000, 3).number(0x400000, 3).number(0xFFFFFF, 3))),
      (std::vector<float>{-1.0f, 0.5f, -1.0f / 8388608.0f}));
  EXPECT_EQ(read_all(simple(format(1, 1, 8000, 32), Bytes().number(0x80000000u, 4).number(0x40000000u, 4))),
            (std::vector<float>{-1.0f, 0.5f}));
}

TEST(WavReader, ReadsFloatsAndPassesOnWhatIsNotFinite) {
  Bytes singles, doubles;
  for (const float v : {0.25f, -2.0f, std::numeric_limits<float>::infinity()}) singles.number(v);
  for (const double v : {0.25, -2.0, 1e300, -std::numeric_limits<double>::infinity()}) doubles.number(v);
  const auto single = read_all(simple(format(3, 1, 8000, 32), singles));
  EXPECT_EQ(single[0], 0.25f);
  EXPECT_EQ(single[1], -2.0f);
  EXPECT_TRUE(std::isinf(single[2]));
  const auto wide = read_all(simple(format(3, 1, 8000, 64), doubles));
  EXPECT_EQ(wide[0], 0.25f);
  EXPECT_EQ(wide[1], -2.0f);
  EXPECT_TRUE(std::isinf(wide[2]));
  EXPECT_TRUE(std::isinf(wide[3]));
}

TEST(WavReader, KeepsStereoInterleavedAndTellsTheLayout) {
  const auto file = simple(format(1, 2, 44100, 16), samples16({16384, -16384, 8192, -8192}));
  const auto reader = WavReader::open(file.all);
  ASSERT_TRUE(reader);
  EXPECT_EQ(reader.value().layout().channels, 2);
  EXPECT_EQ(reader.value().layout().sample_rate_hz, 44100u);
  EXPECT_EQ(reader.value().layout().frames, 2u);
  EXPECT_FALSE(reader.value().layout().truncated);
  EXPECT_DOUBLE_EQ(reader.value().layout().duration_s(), 2.0 / 44100.0);
  EXPECT_EQ(read_all(file), (std::vector<float>{0.5f, -0.5f, 0.25f, -0.25f}));
}

TEST(WavReader, ReadsTheExtensibleFormat) {
  EXPECT_EQ(read_all(simple(extensible(1, 1, 48000, 16, 16), samples16({16384}))), (std::vector<float>{0.5f}));
  EXPECT_EQ(read_all(simple(extensible(3, 1, 48000, 32, 32), Bytes().number(0.5f))), (std::vector<float>{0.5f}));
  auto strange = extensible(1, 1, 48000, 16, 16);
  strange.all.back() = std::byte{0};
  EXPECT_EQ(fault_of(simple(strange, samples16({1}))), WavError::compressed);
  auto cut = extensible(1, 1, 48000, 16, 16);
  cut.all.resize(30);
  EXPECT_EQ(fault_of(simple(cut, samples16({1}))), WavError::compressed);
}

TEST(WavReader, ReadsTwentyAndTwentyFourBitsInWiderWords) {
  EXPECT_EQ(read_all(simple(format(1, 1, 8000, 20), Bytes().number(0x400000, 3))), (std::vector<float>{0.5f}));
  EXPECT_EQ(read_all(simple(format(1, 2, 8000, 24, 8), Bytes().number(0x40000000, 4).number(0xC0000000u, 4))),
            (std::vector<float>{0.5f, -0.5f}));
}

TEST(WavReader, SkipsOtherChunksAndTheirPadding) {
  Bytes chunks;
  chunks.chunk("LIST", Bytes().text("odd")).chunk("fmt ", format(1, 1, 8000, 16)).chunk("bext", Bytes().text("12345"));
  chunks.chunk("data", samples16({16384})).chunk("id3 ", Bytes().text("tail"));
  EXPECT_EQ(read_all(wav(chunks)), (std::vector<float>{0.5f}));
}

TEST(WavReader, FindsTheFormatBehindTheData) {
  EXPECT_EQ(read_all(wav(Bytes().chunk("data", samples16({16384})).chunk("fmt ", format(1, 1, 8000, 16)))),
            (std::vector<float>{0.5f}));
}

TEST(WavReader, ReadsWhatIsThereOfATruncatedFileAndSaysSo) {
  auto file = simple(format(1, 2, 8000, 16), samples16({1, 2, 3, 4, 5, 6}));
  file.all.resize(file.all.size() - 3);  // half of the last frame goes with it
  const auto reader = WavReader::open(file.all);
  ASSERT_TRUE(reader);
  EXPECT_TRUE(reader.value().layout().truncated);
  EXPECT_EQ(reader.value().layout().frames, 2u);
  EXPECT_EQ(read_all(file).size(), 4u);
}

TEST(WavReader, DoesNotBelieveASizeOfGigabytes) {
  for (const std::uint32_t size : {0xFFFFFFFFu, 0xFFFFFFFEu, 0x80000000u}) {
    Bytes chunks;
    chunks.chunk("fmt ", format(1, 1, 8000, 16)).text("data").number(size, 4).number(0x4000, 2);
    EXPECT_EQ(read_all(wav(chunks)), (std::vector<float>{0.5f}));
  }
  Bytes lying;
  lying.text("fmt ").number(0xFFFFFFFFu, 4);
  EXPECT_EQ(fault_of(wav(lying)), WavError::no_format);
}

TEST(WavReader, ReadsARecordingWhoseSizeWasNeverWritten) {
  Bytes chunks;
  chunks.chunk("fmt ", format(1, 1, 8000, 16)).text("data").number(0, 4).number(0x4000, 2).number(0, 8);
  const auto file = wav(chunks);
  const auto reader = WavReader::open(file.all);
  ASSERT_TRUE(reader);
  EXPECT_EQ(reader.value().layout().frames, 5u);
  EXPECT_TRUE(reader.value().layout().truncated);
}

TEST(WavReader, TellsAnEmptyDataChunk) {
  const auto fmt = format(1, 1, 8000, 16);
  EXPECT_EQ(fault_of(simple(fmt, Bytes())), WavError::no_samples);
  EXPECT_EQ(fault_of(wav(Bytes().chunk("fmt ", fmt).chunk("data", Bytes()).chunk("LIST", Bytes().text("INFO")))),
            WavError::no_samples);
  EXPECT_EQ(fault_of(simple(fmt, Bytes().number(1, 1))), WavError::no_samples);  // half a sample
}

TEST(WavReader, ReadsRf64) {
  Bytes ds64;
  ds64.number(0, 8).number(4, 8).number(2, 8).number(0, 4);
  Bytes chunks;
  chunks.chunk("ds64", ds64).chunk("fmt ", format(1, 1, 48000, 16)).text("data").number(0xFFFFFFFFu, 4);
  chunks.number(0x4000, 2).number(0xC000, 2).chunk("LIST", Bytes().text("INFO"));
  EXPECT_EQ(read_all(wav(chunks, "RF64")), (std::vector<float>{0.5f, -0.5f}));
}

TEST(WavReader, NamesTheFault) {
  const auto data = samples16({1, 2});
  EXPECT_EQ(fault_of(Bytes()), WavError::empty);
  EXPECT_EQ(fault_of(Bytes().text("RI")), WavError::not_wav);
  EXPECT_EQ(fault_of(Bytes().text("fLaC and so on, none of it a WAV file")), WavError::not_wav);
  EXPECT_EQ(fault_of(Bytes().text("RIFF").number(100, 4).text("AVI LIST")), WavError::not_wav);
  EXPECT_EQ(fault_of(wav(Bytes(), "RIFX")), WavError::big_endian);
  EXPECT_EQ(fault_of(wav(Bytes())), WavError::no_format);
  EXPECT_EQ(fault_of(wav(Bytes().chunk("data", data))), WavError::no_format);
  EXPECT_EQ(fault_of(wav(Bytes().chunk("fmt ", format(1, 1, 8000, 16)))), WavError::no_data);
  EXPECT_EQ(fault_of(simple(format(2, 1, 8000, 4), data)), WavError::compressed);
  EXPECT_EQ(fault_of(simple(format(1, 0, 8000, 16), data)), WavError::too_many_channels);
  EXPECT_EQ(fault_of(simple(format(1, 6, 8000, 16), data)), WavError::too_many_channels);
  EXPECT_EQ(fault_of(simple(format(1, 1, 0, 16), data)), WavError::no_sample_rate);
  EXPECT_EQ(fault_of(simple(format(1, 1, 8000, 0, 0), data)), WavError::unsupported_bits);
  EXPECT_EQ(fault_of(simple(format(1, 1, 8000, 65535), data)), WavError::unsupported_bits);
  EXPECT_EQ(fault_of(simple(format(3, 1, 8000, 16), data)), WavError::unsupported_bits);
}

TEST(WavReader, ReadsTheSameInBlocksOfAnySizeAndAgainAfterRewind) {
  Bytes data;
  for (int i = 0; i < 10000; ++i) data.number(static_cast<std::uint16_t>(i * 31), 2);
  const auto file = simple(format(1, 2, 8000, 16), data);
  const auto whole = read_all(file);
  auto reader = WavReader::open(file.all);
  for (const std::size_t block : {1u, 128u, 4096u}) {
    std::vector<float> out, part(2 * block);
    while (const std::size_t count = reader->read(part))
      out.insert(out.end(), part.begin(), part.begin() + static_cast<std::ptrdiff_t>(2 * count));
    EXPECT_EQ(out, whole);
    reader->rewind();
  }
}

TEST(WavLayout, IsFoundFromTheFirstBytesOfALongFile) {
  Bytes data;
  for (int i = 0; i < 3000; ++i) data.number(static_cast<std::uint16_t>(i), 2);
  const auto file = simple(format(1, 1, 8000, 16), data);
  const std::span<const std::byte> all(file.all);
  const auto layout = find_wav_layout(all.first(100), all.size());
  ASSERT_TRUE(layout);
  EXPECT_EQ(layout.value().frames, 3000u);
  EXPECT_FALSE(layout.value().truncated);
  std::vector<float> out(10);
  const auto slice = all.subspan(static_cast<std::size_t>(layout.value().data_offset_bytes) + 2 * 1000, 2 * 5);
  EXPECT_EQ(decode(layout.value(), slice, out), 5u);
  EXPECT_EQ(out[0], 1000.0f / 32768.0f);
}

TEST(WavLayout, AsksForMoreWhereTheFirstBytesDoNotReach) {
  const auto file = wav(Bytes()
                            .chunk("JUNK", Bytes().text(std::string(500, 'x')))
                            .chunk("fmt ", format(1, 1, 8000, 16))
                            .chunk("data", samples16({1})));
  const std::span<const std::byte> all(file.all);
  const auto layout = find_wav_layout(all.first(100), all.size());
  ASSERT_FALSE(layout);
  EXPECT_EQ(layout.fault(), WavError::head_too_short);
}

// Every file cut off at every byte, and with every byte turned over, is read or refused, and never read beyond its end
// (the sanitizers watch).
TEST(WavReader, SurvivesEveryCutAndEveryFlippedByte) {
  Bytes chunks;
  chunks.chunk("fmt ", extensible(1, 2, 48000, 24, 24)).chunk("LIST", Bytes().text("odd"));
  const auto file = wav(chunks.chunk("data", Bytes().number(1, 6).number(2, 6)));
  for (std::size_t i = 0; i < file.all.size(); ++i) {
    Bytes cut{std::vector<std::byte>(file.all.begin(), file.all.begin() + static_cast<std::ptrdiff_t>(i))};
    if (WavReader::open(cut.all)) read_all(cut);
    Bytes turned = file;
    turned.all[i] ^= std::byte{0xFF};
    if (WavReader::open(turned.all)) read_all(turned);
  }
}

}  // namespace
}  // namespace four76
