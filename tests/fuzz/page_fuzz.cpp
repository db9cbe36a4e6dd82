// Anything at all that the page can report, a line each: buttons, controls, links, numbers typed, what was kept of the
// settings. Whatever comes, the model can be told as JSON, and what it would keep can be restored.
//
//   a act            an HTML button
//   c name value     an HTML control
//   k key value      kept on the device, a carriage return for each new line: the page is opened again with it
//   l fragment       a link
//   n question 3150  a number in a dialog
//   i                the microphone is there
//   x 3              an interruption, by its number
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>

#include "core/records/kept_lines.hpp"
#include "tests/fuzz/door_input.hpp"
#include "web/mirror.hpp"
#include "web/update.hpp"

namespace {

using four76::Effects;
using four76::Model;
namespace browser = four76::browser;

constexpr std::size_t kMostLines = 40;

using Kept = std::map<std::string, std::string, std::less<>>;

Model opened_with(const Kept& kept) {
  Model model;
  four76::restore_settings(model, [&](std::string_view key) -> std::optional<std::string> {
    const auto found = kept.find(key);
    return found == kept.end() ? std::nullopt : std::optional(found->second);
  });
  return model;
}

std::pair<std::string, std::string> parted(std::string_view text) {
  const auto at = std::min(text.find(' '), text.size());
  return {std::string(text.substr(0, at)), std::string(text.substr(std::min(at + 1, text.size())))};
}

std::optional<browser::Event> event_of(char kind, std::string_view rest) {
  const auto [first, second] = parted(rest);
  switch (kind) {
    case 'a': return browser::ButtonPressed{std::string(rest)};
    case 'c': return browser::ControlChanged{first, second};
    case 'l': return browser::FragmentOpened{std::string(rest)};
    case 'n': return browser::NumberEntered{first, four76::parse_number(second)};
    case 'i': {
      browser::CaptureStarted started;
      started.sample_rate_hz = 48000.0;
      return started;
    }
    case 'x': {
      const auto last = static_cast<unsigned>(browser::Interruption::visible);
      const unsigned number = rest.empty() ? 0u : static_cast<unsigned char>(rest[0]) % (last + 1);
      return browser::CaptureInterrupted{static_cast<browser::Interruption>(number)};
    }
    default: return std::nullopt;
  }
}

void keep(const Effects& effects, Kept& kept) {
  for (const four76::Effect& effect : effects)
    if (const auto* store = std::get_if<four76::effect::Store>(&effect)) kept[std::string(store->key)] = store->value;
}

// Told, and opened again with what it kept: the settings must be those.
void require_sound(const Model& model, const Kept& kept) {
  static_cast<void>(four76::fuzz::told(four76::mirror_json(model)));
  const Model again = opened_with(kept);
  four76::fuzz::require(!again.clock.set_aside && !again.song.tapes_set_aside);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  std::string_view rest(reinterpret_cast<const char*>(data), size);
  Kept from_outside, kept;
  Model model;
  for (std::size_t line = 0; !rest.empty() && line < kMostLines; ++line) {
    const auto end = std::min(rest.find('\n'), rest.size());
    const std::string_view text = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    if (text.empty()) continue;
    const std::string_view words = text.size() > 2 ? text.substr(2) : std::string_view{};
    if (text[0] == 'k') {
      auto [key, value] = parted(words);
      std::replace(value.begin(), value.end(), '\r', '\n');
      from_outside[key] = std::move(value);
      model = opened_with(from_outside);
      kept.clear();
    } else if (const auto event = event_of(text[0], words)) {
      keep(update(model, *event), kept);
    }
  }
  require_sound(model, kept);
  return 0;
}
