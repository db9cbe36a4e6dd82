#include "core/records/link.hpp"

#include "core/phrase.hpp"
#include "core/records/percent_text.hpp"
#include "core/tone/nominal_tones.hpp"

namespace four76 {
namespace {

constexpr std::string_view kVersion = "v1.";

bool is_digit(char c) noexcept { return c >= '0' && c <= '9'; }

bool fits_tone(double hz) noexcept { return hz >= kLowestNominalHz && hz <= kHighestNominalHz; }
bool fits_tape(double percent) noexcept {
  return percent >= kSmallestTapeTolerance_percent && percent <= kLargestTapeTolerance_percent;
}
bool fits_tolerance(double percent) noexcept {
  return percent >= kSmallestTolerance_percent && percent <= kLargestTolerance_percent;
}

std::optional<LinkFault> take_number(std::optional<double>& setting, std::string_view text,
                                     bool (*fits)(double)) noexcept {
  if (setting) return LinkFault::repeated_key;
  const auto number = parse_decimal(text);
  if (!number) return LinkFault::bad_number;
  if (!fits(*number)) return LinkFault::out_of_range;
  setting = number;
  return std::nullopt;
}

std::optional<LinkFault> take_text(std::optional<std::string>& setting, std::string_view encoded) {
  if (setting) return LinkFault::repeated_key;
  setting = decode_percent_text(encoded);
  return setting ? std::nullopt : std::optional(LinkFault::bad_encoding);
}

std::optional<LinkFault> take_pair(LinkSettings& settings, std::string_view pair) {
  const auto equals = pair.find('=');
  if (equals == 0 || equals == std::string_view::npos || equals + 1 == pair.size()) return LinkFault::broken_pair;
  const auto key = pair.substr(0, equals), value = pair.substr(equals + 1);
  if (key == "tone") return take_number(settings.tone_hz, value, fits_tone);
  if (key == "tol") return take_number(settings.tolerance_percent, value, fits_tolerance);
  if (key == "tapetol") return take_number(settings.tape_tolerance_percent, value, fits_tape);
  if (key == "note") return take_text(settings.note, value);
  return LinkFault::unknown_key;
}

// Whether it begins as a link of some version does: v, digits, a point.
bool names_a_version(std::string_view fragment) noexcept {
  std::size_t i = 1;
  while (i < fragment.size() && is_digit(fragment[i])) ++i;
  return fragment.substr(0, 1) == "v" && i > 1 && fragment.substr(i, 1) == ".";
}

}  // namespace

std::string_view message_of(LinkFault fault) noexcept {
  switch (fault) {
    case LinkFault::too_long: return tr("The link is too long to be a link of this page. Ask for it to be sent again.");
    case LinkFault::not_settings:
      return tr("The link carries no settings that this page knows. Ask for it to be sent again.");
    case LinkFault::unknown_version:
      return tr("The link was made by another version of this page. Reload the page, then try again.");
    case LinkFault::broken_pair: return tr("A part of the link is missing. Ask for it to be sent again.");
    case LinkFault::unknown_key:
      return tr("The link sets something that this page does not know. Reload the page, then try again.");
    case LinkFault::repeated_key: return tr("The link sets one thing twice. Ask for it to be sent again.");
    case LinkFault::bad_number: return tr("A number in the link is damaged. Ask for it to be sent again.");
    case LinkFault::out_of_range:
      return tr("The link sets a tone or tolerance that cannot be measured. Ask for another one.");
    case LinkFault::bad_checksum: return tr("The link was damaged on its way. Ask for it to be sent again.");
    case LinkFault::bad_encoding: return tr("The text in the link is damaged. Ask for it to be sent again.");
  }
  return tr("The link cannot be read.");
}

Result<LinkSettings, LinkFault> parse_link(std::string_view fragment) {
  if (fragment.substr(0, 1) == "#") fragment.remove_prefix(1);
  if (fragment.size() > kLongestLink) return LinkFault::too_long;
  LinkSettings settings;
  if (fragment.empty()) return settings;
  if (!names_a_version(fragment)) return LinkFault::not_settings;
  if (fragment.substr(0, kVersion.size()) != kVersion) return LinkFault::unknown_version;
  std::string_view rest = fragment.substr(kVersion.size());
  while (!rest.empty()) {
    const auto end = rest.find('&');
    if (const auto fault = take_pair(settings, rest.substr(0, end))) return *fault;
    if (end == std::string_view::npos) break;
    rest.remove_prefix(end + 1);
    if (rest.empty()) return LinkFault::broken_pair;
  }
  return settings;
}

std::optional<std::string> write_link(const LinkSettings& settings) {
  if (settings.tone_hz && !fits_tone(*settings.tone_hz)) return std::nullopt;
  if (settings.tolerance_percent && !fits_tolerance(*settings.tolerance_percent)) return std::nullopt;
  if (settings.tape_tolerance_percent && !fits_tape(*settings.tape_tolerance_percent)) return std::nullopt;
  if (settings.note && (settings.note->empty() || !is_one_line_of_utf8(*settings.note))) return std::nullopt;
  std::string pairs;
  const auto add = [&pairs](std::string_view key, const std::string& value) {
    if (!pairs.empty()) pairs += '&';
    pairs.append(key).append(1, '=').append(value);
  };
  if (settings.tone_hz) add("tone", write_decimal(*settings.tone_hz));
  if (settings.tolerance_percent) add("tol", write_decimal(*settings.tolerance_percent));
  if (settings.tape_tolerance_percent) add("tapetol", write_decimal(*settings.tape_tolerance_percent));
  if (settings.note) add("note", encode_percent_text(*settings.note));
  if (kVersion.size() + pairs.size() > kLongestLink) return std::nullopt;
  return std::string(kVersion) + pairs;
}

}  // namespace four76
