// Any bytes at all, also with a header that is right for them, so that what lies behind the checksum is reached: they
// are no snapshot and no song's result, or one that is written as the same bytes again.
#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <span>
#include <vector>

#include "web/snapshot/flat_bytes.hpp"
#include "web/snapshot/snapshot.hpp"
#include "web/song/match/result.hpp"

namespace {

// What stands in the first eight bytes: the mark and the version of what encode makes.
std::array<std::uint32_t, 2> marks_of(const std::vector<std::uint8_t>& made) {
  std::array<std::uint32_t, 2> marks{};
  std::memcpy(marks.data(), made.data(), sizeof marks);
  return marks;
}

template <class Decode>
void follow(std::span<const std::uint8_t> bytes, Decode&& decode) {
  const auto decoded = decode(bytes);
  if (!decoded) return;
  const auto again = encode(*decoded);
  // What is not there is written with a zero in its place, whatever stood there: so it settles after one round.
  const auto twice = decode(again);
  if (!twice || encode(*twice) != again) std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace four76;
  static const auto snapshot = marks_of(encode(Snapshot{})), song = marks_of(encode(SongResult{}));
  const auto as_snapshot = [](std::span<const std::uint8_t> bytes) { return decode(bytes); };
  const auto as_song = [](std::span<const std::uint8_t> bytes) { return decode_song(bytes); };
  const std::span<const std::uint8_t> bytes(data, size);
  follow(bytes, as_snapshot);
  follow(bytes, as_song);
  for (const auto& [magic, version] : {snapshot, song}) {
    flat::Writer out = flat::begun();
    for (const std::uint8_t byte : bytes) out.put(byte);
    const auto sealed = flat::sealed(std::move(out), magic, version);
    follow(sealed, as_snapshot);
    follow(sealed, as_song);
  }
  return 0;
}
