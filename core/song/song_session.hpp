// SongSession: a tape that plays while it is listened to: samples in, Readings out, as ToneSession's dial gives them.
//
// While it searches, the newest six seconds are held against the whole reference, one speed at each turn of the dial,
// so that no call takes more than some milliseconds; a place is believed when four windows of the tape agree about
// it. Then the delay is followed, 20 times a second; the dial is the slope of the last second of it.
// A turn of the trimmer throws the correlation off: other speeds are then tried about the place where it was. After a
// second without a hold the session searches again, and says so by the reading's status.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/reading.hpp"
#include "core/song/phase_correlator.hpp"
#include "core/song/song_search.hpp"

namespace four76 {

enum class SongState : std::uint8_t { silent, searching, following, lost };

class SongSession {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;  // 8000 to 192000
    int channels = 1;                 // 1 or 2, interleaved
    double dial_window_s = 1.0;
  };
  // The reference at kSongRate_hz, up to 10 minutes. Reads all of it: a second for ten minutes.
  SongSession(const Config& config, std::vector<float> reference);
  void reset() noexcept;

  void process(std::span<const float> interleaved) noexcept;

  [[nodiscard]] double time_s() const noexcept { return static_cast<double>(taken_) / kSongRate_hz; }
  [[nodiscard]] std::uint64_t dial_count() const noexcept { return dial_count_; }  // grows by one 20 times a second
  [[nodiscard]] const Reading& dial() const noexcept { return dial_; }
  [[nodiscard]] SongState state() const noexcept { return state_; }
  // Where in the reference the tape is; nothing while it is not followed.
  [[nodiscard]] std::optional<double> position_s() const noexcept;

 private:
  struct Point {
    double tape_s = 0.0;
    double place_s = 0.0;  // in the reference
    double z = 0.0;
  };
  struct Slope {
    double middle_s = 0.0, place_s = 0.0, speed = 1.0, u95 = 0.0;
  };

  void take(float sample) noexcept;
  void turn_dial() noexcept;
  void search() noexcept;
  void try_place() noexcept;
  void follow() noexcept;
  void look_around(double middle_s) noexcept;
  void judge() noexcept;
  void begin_search() noexcept;
  [[nodiscard]] std::optional<Point> point_at(double middle_s, double place_s, double speed, double reach_s,
                                              std::optional<bool> inverted) noexcept;
  [[nodiscard]] Slope slope_of(double window_s) const noexcept;
  void add_point(const Point& point) noexcept;

  Config config_;
  std::vector<float> reference_;
  RateChanger changer_;
  SincTable table_;
  PhaseCorrelator correlator_;
  SongSearch search_;
  SongSpectra spectra_;
  std::vector<float> ring_, snapshot_;  // the newest seconds of tape
  std::vector<SongPlace> places_;
  std::array<Point, 24> points_{};  // the newest last
  std::size_t point_count_ = 0;
  std::uint64_t taken_ = 0;  // samples
  std::uint64_t dial_count_ = 0;
  SongState state_ = SongState::silent;
  Reading dial_;
  double sound_since_s_ = 0.0;
  double snapshot_from_s_ = 0.0;
  int slice_ = 0;
  int around_ = 0;      // which speeds were tried last
  double speed_ = 1.0;  // that the tape is read at
  double held_at_s_ = 0.0;
  double ring_from_s_ = 0.0;  // tape time of the ring's first sample
  std::size_t ring_filled_ = 0;
  bool inverted_ = false;  // the polarity that the place was found with
  bool found_inverted_ = false;
};

}  // namespace four76
