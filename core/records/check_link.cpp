#include "core/records/check_link.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <utility>
#include <vector>

#include "core/records/kept_lines.hpp"
#include "core/records/percent_text.hpp"
#include "core/tone/nominal_tones.hpp"

namespace four76 {
namespace {

constexpr std::string_view kVersion = "v2.", kSum = "&sum=";
constexpr std::size_t kSumDigits = 8;
constexpr double kMostWritten = 1e9;  // beyond any range: left out, so that the link is refused

// ISO 3309, bit by bit: a link has 400 characters at the most.
std::uint32_t crc32(std::string_view text) noexcept {
  std::uint32_t crc = 0xFFFFFFFFu;
  for (const char c : text) {
    crc ^= static_cast<unsigned char>(c);
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1u) ^ ((crc & 1u) != 0u ? 0xEDB88320u : 0u);
  }
  return ~crc;
}

std::string sum_of(std::string_view text) {
  std::array<char, 16> digits{};
  std::snprintf(digits.data(), digits.size(), "%08x", static_cast<unsigned>(crc32(text)));
  return digits.data();
}

bool is_id(std::string_view text) noexcept {
  return !text.empty() && text.size() <= kLongestAskId && std::all_of(text.begin(), text.end(), [](char c) {
    return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
  });
}

// The pairs between the version and the sum, taken one by one; the first fault stays, and so does a key nobody takes.
class Pairs {
 public:
  explicit Pairs(std::string_view text) {
    while (!fault_) {
      const auto end = text.find('&');
      take_pair(text.substr(0, end));
      if (end == std::string_view::npos) break;
      text.remove_prefix(end + 1);
    }
  }
  [[nodiscard]] std::optional<LinkFault> fault() const noexcept {
    if (fault_) return fault_;
    return left_.empty() ? std::nullopt : std::optional(LinkFault::unknown_key);
  }
  void complain(LinkFault fault) noexcept {
    if (!fault_) fault_ = fault;
  }
  std::optional<std::string_view> take(std::string_view key) {
    const auto found = std::find_if(left_.begin(), left_.end(), [&](const Pair& pair) { return pair.key == key; });
    if (found == left_.end()) return std::nullopt;
    const std::string_view value = found->value;
    left_.erase(found);
    return value;
  }
  std::optional<double> number(std::string_view key, double least, double most) {
    const auto value = take(key);
    if (!value) return std::nullopt;
    const auto number = parse_signed(*value);
    if (!number) return complain(LinkFault::bad_number), std::nullopt;
    if (!(*number >= least && *number <= most)) return complain(LinkFault::out_of_range), std::nullopt;
    return number;
  }
  double needed(std::string_view key, double least, double most) {
    if (!has(key)) complain(LinkFault::broken_pair);
    return number(key, least, most).value_or(least);
  }
  std::string text(std::string_view key, std::size_t longest) {
    const auto value = take(key);
    if (!value) return "";
    auto text = decode_percent_text(*value);
    if (!text || text->size() > longest) return complain(LinkFault::bad_encoding), "";
    return *text;
  }
  [[nodiscard]] bool has(std::string_view key) const {
    return std::any_of(left_.begin(), left_.end(), [&](const Pair& pair) { return pair.key == key; });
  }

 private:
  struct Pair {
    std::string_view key, value;
  };
  void take_pair(std::string_view pair) {
    const auto equals = pair.find('=');
    if (equals == 0 || equals == std::string_view::npos || equals + 1 == pair.size())
      return complain(LinkFault::broken_pair);
    const auto key = pair.substr(0, equals);
    if (has(key)) return complain(LinkFault::repeated_key);
    left_.push_back({key, pair.substr(equals + 1)});
  }
  std::vector<Pair> left_;
  std::optional<LinkFault> fault_;
};

std::string take_id(Pairs& pairs, std::string_view key) {
  const auto id = pairs.take(key);
  if (id && is_id(*id)) return std::string(*id);
  pairs.complain(LinkFault::broken_pair);
  return "";
}

CheckAsked asked_of(Pairs& pairs) {
  CheckAsked asked;
  asked.id = take_id(pairs, "ask");
  asked.tone_hz = pairs.needed("tone", kLowestNominalHz, kHighestNominalHz);
  asked.tolerance_percent = pairs.needed("tol", kSmallestTolerance_percent, kLargestTolerance_percent);
  asked.tape_tolerance_percent = pairs.number("tapetol", kSmallestTapeTolerance_percent, kLargestTapeTolerance_percent);
  asked.kind = pairs.text("kind", kLongestKind);
  asked.note = pairs.text("note", kLongestLink);
  return asked;
}

VisitStage stage_of(Pairs& pairs) {
  const auto word = pairs.take("stage");
  for (const VisitStage stage : {VisitStage::as_found, VisitStage::as_left, VisitStage::between})
    if (word && *word == name_of(stage)) return stage;
  pairs.complain(LinkFault::broken_pair);
  return VisitStage::between;
}

CheckDone done_of(Pairs& pairs) {
  CheckDone done;
  done.id = take_id(pairs, "did");
  done.tone_hz = pairs.needed("tone", kLowestNominalHz, kHighestNominalHz);
  done.tolerance_percent = pairs.needed("tol", kSmallestTolerance_percent, kLargestTolerance_percent);
  done.speed_error_percent = pairs.needed("err", -kFarthestLink_percent, kFarthestLink_percent);
  done.u95_percent = pairs.needed("u", 0.0, kFarthestLink_percent);
  done.weighted_percent = pairs.number("wf", 0.0, kFarthestLink_percent);
  done.stage = stage_of(pairs);
  done.date = std::string(pairs.take("date").value_or(""));
  if (!is_date(done.date)) pairs.complain(LinkFault::broken_pair);
  done.note = pairs.text("note", kLongestLink);
  return done;
}

template <typename Value>
Result<AnyLink, LinkFault> checked(std::string_view body, Value (*read)(Pairs&)) {
  Pairs pairs(body);
  Value value = read(pairs);
  if (const auto fault = pairs.fault()) return *fault;
  return AnyLink(std::move(value));
}

class Writer {
 public:
  Writer(std::string_view key, std::string_view id) : text_(kVersion) { text_.append(key).append("=").append(id); }
  Writer& text(std::string_view key, const std::string& value) {
    if (!value.empty()) add(key, encode_percent_text(value));
    return *this;
  }
  Writer& number(std::string_view key, const std::optional<double>& value) {
    if (value && std::abs(*value) < kMostWritten) add(key, write_signed(*value));
    return *this;
  }
  // What cannot be read back as it was is not written.
  template <typename Value>
  std::optional<std::string> finish(const Value& value) {
    text_ += std::string(kSum) + sum_of(text_);
    const auto again = parse_any_link(text_);
    if (!again || !std::holds_alternative<Value>(*again)) return std::nullopt;
    return std::get<Value>(*again).id == value.id && std::get<Value>(*again).note == value.note ? std::optional(text_)
                                                                                                : std::nullopt;
  }

 private:
  void add(std::string_view key, const std::string& value) { text_.append("&").append(key).append("=").append(value); }
  std::string text_;
};

}  // namespace

Result<AnyLink, LinkFault> parse_any_link(std::string_view fragment) {
  if (fragment.substr(0, 1) == "#") fragment.remove_prefix(1);
  if (fragment.size() > kLongestLink) return LinkFault::too_long;
  if (!fragment.starts_with(kVersion)) {
    const auto settings = parse_link(fragment);
    if (!settings) return settings.fault();
    return AnyLink(*settings);
  }
  const auto sum = fragment.rfind(kSum);
  if (sum == std::string_view::npos || fragment.size() != sum + kSum.size() + kSumDigits)
    return LinkFault::bad_checksum;
  if (fragment.substr(sum + kSum.size()) != sum_of(fragment.substr(0, sum))) return LinkFault::bad_checksum;
  const auto body = fragment.substr(kVersion.size(), sum - kVersion.size());
  if (body.starts_with("ask=")) return checked(body, asked_of);
  if (body.starts_with("did=")) return checked(body, done_of);
  return LinkFault::unknown_key;
}

std::optional<std::string> write_link(const CheckAsked& asked) {
  return Writer("ask", asked.id)
      .number("tone", asked.tone_hz)
      .number("tol", asked.tolerance_percent)
      .number("tapetol", asked.tape_tolerance_percent)
      .text("kind", asked.kind)
      .text("note", asked.note)
      .finish(asked);
}

std::optional<std::string> write_link(const CheckDone& done) {
  return Writer("did", done.id)
      .number("tone", done.tone_hz)
      .number("tol", done.tolerance_percent)
      .number("err", done.speed_error_percent)
      .number("u", done.u95_percent)
      .number("wf", done.weighted_percent)
      .text("stage", std::string(name_of(done.stage)))
      .text("date", done.date)
      .text("note", done.note)
      .finish(done);
}

}  // namespace four76
