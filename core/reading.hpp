// Reading: what the instrument says about one channel, as plain data.
//
// Every number that may be missing is an std::optional: nothing here is ever 0 or NaN in place of "unknown". A Reading
// owns no memory beyond itself, so that it can be copied on the measuring path without allocating.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace four76 {

enum class Status : std::uint8_t {
  no_tone,     // nothing that could be the tone was heard
  unreliable,  // a tone was heard, but the number must not be trusted: see the reasons
  measured,    // the number holds within its u95; reasons, if any, say what widened it
};

enum class Reason : std::uint8_t {
  no_tone,           // nothing like the asked-for tone within -25 % to +25 % of it
  too_quiet,         // the tone, or the whole input, is too weak to measure
  room_noise,        // broadband noise beside the tone
  competing_tone,    // a second steady tone close enough to disturb
  mains_hum,         // harmonics of 50 or 60 Hz close enough to disturb
  clipping,          // the input is overdriven
  voice_processing,  // the device pumps or gates the level
  capture_gap,       // samples were lost or inserted by the device
  tape_dropout,      // the tone's level fell away for a moment
  narrow_capture,    // the sample rate is too low
  wrong_tone,        // reads as another standard tone
  channels_differ,   // left and right do not agree
  too_short,         // not enough of the tone yet
  not_steady,        // the speed is still moving
};
inline constexpr std::size_t kReasonCount = 14;

// The names used in JSON and in the page's mirror.
std::string_view name_of(Status status) noexcept;
std::string_view name_of(Reason reason) noexcept;

// A small ordered set of reasons, the weightiest first.
class ReasonList {
 public:
  // Adds at the end unless already present.
  void add(Reason reason) noexcept {
    if (!contains(reason)) items_[size_++] = reason;
  }
  // Adds at the front; moves it there if already present.
  void add_first(Reason reason) noexcept;
  [[nodiscard]] bool contains(Reason reason) const noexcept {
    for (std::size_t i = 0; i < size_; ++i)
      if (items_[i] == reason) return true;
    return false;
  }
  [[nodiscard]] bool empty() const noexcept { return size_ == 0; }
  [[nodiscard]] std::size_t size() const noexcept { return size_; }
  [[nodiscard]] const Reason* begin() const noexcept { return items_.data(); }
  [[nodiscard]] const Reason* end() const noexcept { return items_.data() + size_; }
  void clear() noexcept { size_ = 0; }
  bool operator==(const ReasonList& other) const noexcept;

 private:
  std::array<Reason, kReasonCount> items_{};
  std::size_t size_ = 0;
};

struct Reading {
  Status status = Status::no_tone;
  ReasonList reasons;

  std::optional<double> frequency_hz;               // mean over the trusted part of the window
  std::optional<double> speed_error_percent;        // 100 (f / f_nominal - 1)
  std::optional<double> plain_speed_error_percent;  // the dial's, periodic wow and all; equal where none is known
  std::optional<double> u95_percent;                // half-width that holds the true mean in 95 of 100 cases; noise,
                                                    // interference and wow, without sample clock and tape tolerance
  std::optional<double> noise_u95_percent;          // the part of u95 that noise and interference cause
  std::optional<double> wow_u95_percent;            // the part of u95 that averaging over wow causes
  std::optional<double> level_dbfs;                 // of the tone; a full-scale sine is 0 dBFS
  std::optional<double> carrier_to_noise_dbhz;      // tone power over noise density beside it, C/N0

  std::optional<double> other_tone_hz;             // with wrong_tone: the standard tone that it lies on,
  std::optional<double> other_tone_error_percent;  // and the speed error if the tape carries that one
  // Two steady tones were heard, either may be the tape's: the louder first.
  std::optional<std::array<double, 2>> candidates_hz;
  std::optional<double> taken_out_hz;  // a steady tone that is not the tape's, and is not in the numbers any more

  double time_s = 0.0;     // of the newest sample used, from the start of the input
  double trusted_s = 0.0;  // how much tone the number rests on
};

// Whether two channels' speed errors lie within their joint uncertainty and 0.05 %: both come off the same tape.
// Percent.
inline constexpr double kChannelsAgree_percent = 0.05;
bool speeds_agree(double left, double left_u95, double right, double right_u95) noexcept;

// cents = 1200 log2(1 + e); +1 % is 17.23 cents (sources.md#hearing).
double cents_of_percent(double speed_error_percent) noexcept;

}  // namespace four76
