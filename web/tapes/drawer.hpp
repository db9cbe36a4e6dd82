// Drawer: the tapes that were played on one machine, with what each carries of its speed, and how the person wants them
// read. As text it is kept on the device; none of the sound is in it.
//
//   {"schema":"four76.drawer/1","concert_a_hz":440,"sounds_like":0,
//    "tapes":[{"name","heard_s","wow_rms_percent","wow_u95_percent","wow_rate_hz","wow_rate_u95_hz",
//              "drift_percent_per_minute","reasons":["no_pitch"],
//              "evidence":[{"kind":"concert_pitch","nominal_hz","measured_hz","u95_percent","on_tape"}]}]}
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/tapes/speed_posterior.hpp"

namespace four76 {

inline constexpr std::size_t kMostDrawerTapes = 48;         // beyond these the oldest is dropped
inline constexpr std::size_t kLongestDrawerText = 200'000;  // bytes: twice what so many tapes come to (derived)
inline constexpr std::size_t kLongestDrawerName = 300;      // bytes, as of a card
inline constexpr std::size_t kMostDrawerEvidence = 16;      // of one tape

struct DrawerTape {
  std::string name;
  TapeFindings findings;
};

struct Drawer {
  TuningPrior tuning;
  SoundsLike sounds_like = SoundsLike::not_said;
  std::vector<DrawerTape> tapes;  // the newest last
};

// Nothing where the text is damaged; no text is an empty drawer.
[[nodiscard]] std::optional<Drawer> read_drawer(std::string_view text);
[[nodiscard]] std::string write_drawer(const Drawer& drawer);

// Returns false and changes nothing where the name is none of one line. Of the live dial nothing is kept.
bool put_into(Drawer& drawer, std::string_view name, const TapeFindings& findings);

}  // namespace four76
