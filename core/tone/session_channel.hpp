// SessionChannel: one channel of a session: its meter, its spectrum, what both said last, and the dial's trail.
//
//   blocks --> ToneMeter --> dial, 20 a second --> trail;  calm and flutter, twice a second
//          --> AveragedSpectrum --> the pictures;  is the tone limited, is it humming: looked at twice a second
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/flutter/flutter_figures.hpp"
#include "core/reading.hpp"
#include "core/signal/spectrum.hpp"
#include "core/tone/spectrum_picture.hpp"
#include "core/tone/tone_meter.hpp"
#include "core/tone/trail_point.hpp"

namespace four76 {

class SessionChannel {
 public:
  static constexpr std::uint64_t kDialsPerCalm = 10;

  explicit SessionChannel(const ToneMeter::Config& config);
  void reset() noexcept;
  // At most ToneMeter::kLargestBlock samples; those that are not finite are set to 0 in place.
  void process(std::span<float> block) noexcept;
  // A reading of the dial, and with every tenth the calm one; the input began so long before the first sample that
  // was measured.
  void make_readings(std::uint64_t dials, double discarded_s) noexcept;

  [[nodiscard]] const Reading& dial() const noexcept { return dial_; }
  [[nodiscard]] const Reading& calm() const noexcept { return calm_; }
  [[nodiscard]] const FlutterReading& flutter() const noexcept { return flutter_; }
  // Everything so far, after that many of the dial's readings; what the other channel says aside.
  [[nodiscard]] Reading whole(std::uint64_t dials, double discarded_s) const noexcept;
  [[nodiscard]] ToneMeter& meter() const noexcept { return meter_; }
  // Copies at most `out.size()` newest points, oldest first; returns how many.
  std::size_t trail(std::span<TrailPoint> out) const noexcept;

  [[nodiscard]] SpectrumView spectrum() const noexcept;
  [[nodiscard]] SpectrumView zoom() const noexcept;

 private:
  [[nodiscard]] std::span<const float> viewed() const noexcept;
  [[nodiscard]] bool limited() const noexcept;
  [[nodiscard]] bool humming() noexcept;
  void add_to_trail(const Reading& reading) noexcept;

  // Reading the record uses the meter's scratch memory, not its state.
  mutable ToneMeter meter_;
  AveragedSpectrum spectrum_;
  mutable SpectrumPicture picture_, zoom_picture_;
  Reading dial_, calm_;
  FlutterReading flutter_;
  std::vector<TrailPoint> trail_;  // ring
  std::size_t trail_next_ = 0, trail_size_ = 0;
  std::uint64_t limited_seen_ = 0, hum_seen_ = 0;  // half-second looks that found the tone limited, or hum around it
  std::vector<float> comb_scratch_;
};

}  // namespace four76
