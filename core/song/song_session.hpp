// SongSession: a tape that plays while it is listened to: samples in, Readings out, as ToneSession's dial gives them.
//
// While it searches, the newest five seconds are held against the whole reference, some speeds at each turn of the
// dial, so that no call takes more than some milliseconds; the likeliest places are then tried window by window
// (SongLock). From there on the tape is followed 20 times a second (SongPursuit); the dial is the slope of the last two
// seconds of it, or of one where the speed was seen to move, and what the partials say (SongDial). After a second
// without a hold the session searches again, and says so by the reading's status; beside the search it looks on where
// the tape was. It searches first by what was heard since alone, at about the speed that the tape ran at: who winds it
// does not turn the trimmer. The periodic part of the wow is learned and taken out as with a tone (SongStillness).
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/reading.hpp"
#include "core/song/song_dial.hpp"
#include "core/song/song_jumps.hpp"
#include "core/song/song_lock.hpp"
#include "core/song/song_losses.hpp"
#include "core/song/song_pursuit.hpp"
#include "core/song/song_search.hpp"
#include "core/song/song_window.hpp"

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
  void take(float sample) noexcept;
  void turn_dial() noexcept;
  void follow() noexcept;
  void finish_turn() noexcept;
  void watch_jumps() noexcept;
  void look_on(bool sounds) noexcept;
  void search() noexcept;
  void set_snapshot() noexcept;
  [[nodiscard]] bool is_near_over() const noexcept;
  [[nodiscard]] int speed_steps() const noexcept;
  [[nodiscard]] int middle_step() const noexcept;
  void choose_place() noexcept;
  void try_place() noexcept;
  void try_again(const SongLock::Path& path) noexcept;
  [[nodiscard]] SongLikeness likeness_along(const SongLock::Path& path) noexcept;
  void judge() noexcept;
  void begin_search() noexcept;
  [[nodiscard]] std::span<const float> sound() const noexcept { return std::span(ring_).first(ring_filled_); }

  Config config_;
  std::vector<float> reference_;
  RateChanger changer_;
  SongWindow window_;
  SongSearch search_;
  SongSpectra spectra_;
  std::vector<float> ring_, snapshot_;  // the newest seconds of tape
  std::vector<SongPlace> places_;
  SongLock lock_;
  bool is_trying_ = false;  // a place, by lock_
  int tries_ = 0;
  SongPursuit pursuit_;
  SongDial number_;
  SongLosses losses_;
  SongJumps jumps_;
  std::uint64_t taken_ = 0;  // samples
  std::uint64_t dial_count_ = 0;
  SongState state_ = SongState::silent;
  Reading dial_;
  double sound_since_s_ = 0.0;
  double snapshot_from_s_ = 0.0;
  std::size_t snapshot_filled_ = 0;
  double held_speed_ = 1.0;
  double refound_at_s_ = 0.0;  // by the near search
  double lost_at_s_ = 0.0;     // from here on the tape may be anywhere
  bool is_near_ = false;       // the search: the newest sound alone, at about the speed that it was followed at
  int slice_ = 0;
  double ring_from_s_ = 0.0;  // tape time of the ring's first sample
  std::size_t ring_filled_ = 0;
};

}  // namespace four76
