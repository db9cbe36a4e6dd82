// FlatBytes: plain data to bytes and back, within one machine: a mark of four letters, version, length, FNV-1a
// checksum, then the fields in order. Within snapshot/ and song/match/result.cpp only.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <optional>
#include <span>
#include <type_traits>
#include <utility>
#include <vector>

namespace four76::flat {

class Writer {
 public:
  template <class T>
  void put(T value) {
    static_assert(std::is_trivially_copyable_v<T>);
    const std::size_t at = bytes_.size();
    bytes_.resize(at + sizeof(T));
    std::memcpy(bytes_.data() + at, &value, sizeof(T));
  }
  void put(const std::optional<double>& value) {
    put<std::uint8_t>(value ? 1 : 0);
    put(value.value_or(0.0));
  }
  void put(std::optional<bool> truth) { put<std::uint8_t>(truth ? (*truth ? 2 : 1) : 0); }
  std::vector<std::uint8_t> take() { return std::move(bytes_); }
  std::span<std::uint8_t> bytes() { return bytes_; }

 private:
  std::vector<std::uint8_t> bytes_;
};

// Any read past the end, or out of a value's range, makes the whole invalid; reads go on returning zeros.
class Reader {
 public:
  explicit Reader(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}
  template <class T>
  T get() {
    static_assert(std::is_trivially_copyable_v<T>);
    T value{};
    if (bytes_.size() < sizeof(T)) {
      fail();
      return value;
    }
    std::memcpy(&value, bytes_.data(), sizeof(T));
    bytes_ = bytes_.subspan(sizeof(T));
    return value;
  }
  std::optional<double> get_optional() {
    const auto there = get<std::uint8_t>();
    const auto value = get<double>();
    if (there > 1) fail();
    if (there != 1) return std::nullopt;
    return value;
  }
  bool get_flag() {
    const auto flag = get<std::uint8_t>();
    if (flag > 1) fail();
    return flag == 1;
  }
  std::optional<bool> get_truth() {
    const auto truth = get<std::uint8_t>();
    if (truth > 2) fail();
    return truth == 0 ? std::nullopt : std::optional(truth == 2);
  }
  // A count of things that take at least `least_bytes` each.
  std::size_t get_count(std::size_t least_bytes) {
    const auto count = get<std::uint32_t>();
    if (count <= bytes_.size() / least_bytes) return count;
    fail();
    return 0;
  }
  template <class Enum>
  Enum get_enum(Enum last) {
    const auto value = get<std::uint8_t>();
    if (value > static_cast<std::uint8_t>(last)) {
      fail();
      return Enum{};
    }
    return static_cast<Enum>(value);
  }
  void fail() {
    good_ = false;
    bytes_ = {};
  }
  [[nodiscard]] bool complete() const { return good_ && bytes_.empty(); }

 private:
  std::span<const std::uint8_t> bytes_;
  bool good_ = true;
};

// ---- The header -----------------------------------------------------------------------------------------------------

inline constexpr std::size_t kHeaderBytes = 4 * sizeof(std::uint32_t);

inline std::uint32_t fnv1a(std::span<const std::uint8_t> bytes) {
  std::uint32_t hash = 2166136261u;
  for (const std::uint8_t byte : bytes) hash = (hash ^ byte) * 16777619u;
  return hash;
}

// A writer whose header is filled in by sealed().
inline Writer begun() {
  Writer out;
  for (int i = 0; i < 4; ++i) out.put(std::uint32_t{0});
  return out;
}
inline std::vector<std::uint8_t> sealed(Writer out, std::uint32_t magic, std::uint32_t version) {
  const std::span<std::uint8_t> bytes = out.bytes();
  const auto body = std::span<const std::uint8_t>(bytes).subspan(kHeaderBytes);
  const std::array<std::uint32_t, 4> header = {magic, version, static_cast<std::uint32_t>(body.size()), fnv1a(body)};
  std::memcpy(bytes.data(), header.data(), kHeaderBytes);
  return out.take();
}
// What is behind the header; nothing where that is not the wanted one, or the bytes are not whole.
inline std::optional<Reader> opened(std::span<const std::uint8_t> bytes, std::uint32_t magic, std::uint32_t version) {
  if (bytes.size() < kHeaderBytes) return std::nullopt;
  std::array<std::uint32_t, 4> header{};
  std::memcpy(header.data(), bytes.data(), kHeaderBytes);
  const auto body = bytes.subspan(kHeaderBytes);
  if (header[0] != magic || header[1] != version || header[2] != body.size() || header[3] != fnv1a(body))
    return std::nullopt;
  return Reader(body);
}

}  // namespace four76::flat
