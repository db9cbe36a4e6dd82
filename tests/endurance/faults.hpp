// Faults: what goes wrong in hours of listening, one by one, and what the page must say of it.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

#include "web/platform/browser.hpp"

namespace four76::test {

// What the microphone delivers.
enum class Sound : std::uint8_t {
  tape,
  nothing,      // no block arrives
  zeros,        // blocks of silence, as of a muted track
  not_numbers,  // every sample a NaN
  zero_runs,    // an under-run in each block: 441 zeros
  losses,       // an over-run in each block: 300 samples gone, every 43 ms at 48 kHz
  overdriven,   // ten times too loud, clipped
  hiss,         // the tape's end: its noise alone
};

// What happens besides.
enum class Happening : std::uint8_t {
  nothing,
  device_ends,    // and another one, of another rate, takes its place when Listen is tapped
  device_chosen,  // another one, while it listens
  headset,        // one for speech takes its place: refused, and Listen is tapped again with the first
  page_dies,      // closed without a word, opened again
  storage_full,   // a visit cannot be kept
  drawing_lost,   // the WebGL context, and given back at the end
  update_comes,   // and is asked for at once
};

struct Fault {
  std::string_view name;
  Sound sound = Sound::tape;
  double lasts_s = 5.0;
  std::string_view says = {};  // part of a message that must be there; empty where it goes on by itself
  std::optional<browser::Interruption> begins = {}, ends = {};  // as the page's script tells them
  Happening happening = Happening::nothing;
  double clock_jump_s = 0.0;  // of the browser's clock, at the beginning
  bool draws = true;          // frames come
};

// In their order; behind the last one the first device listens again, as before the first.
[[nodiscard]] std::span<const Fault> all_faults() noexcept;

}  // namespace four76::test
