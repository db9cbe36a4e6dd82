// SongRates: what the partials said of the speed over the last two seconds, and whether they agree.
//
// One window's rate may be wrong: a note's end in a room, two notes that beat. Windows lie 50 ms apart and are wrong by
// different amounts; where most of a stretch say the same within what wow moves, that is the speed.
#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "core/song/song_window.hpp"

namespace four76 {

class SongRates {
 public:
  struct Agreed {
    double speed = 1.0;
    double u95 = 0.0;
    double from_s = 0.0, to_s = 0.0;  // the first and the last window that agrees
  };

  void reset() noexcept { count_ = 0; }
  void add(const SongRate& rate) noexcept;
  // Of the windows since from_s; nothing where fewer than four of them have a rate, or three in ten say something else.
  [[nodiscard]] std::optional<Agreed> agreed(double from_s) const noexcept;

 private:
  static constexpr std::size_t kMost = 40;
  std::array<SongRate, kMost> rates_{};  // the newest last
  std::size_t count_ = 0;
};

}  // namespace four76
