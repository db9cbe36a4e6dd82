// SongInput: the song bench's ears: holds the reference, records one, or follows a tape along it. AudioInput gives it
// the microphone's samples while it wants them.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/song/song_session.hpp"
#include "web/snapshot/snapshot.hpp"
#include "web/song/match/trail.hpp"

namespace four76 {

class SongInput {
 public:
  void follow(double sample_rate_hz, double discard_s);  // with the reference that is held
  void record(double sample_rate_hz, double discard_s);
  void stop();
  void hold(std::vector<float> reference);  // at kSongRate_hz
  void hold_recording();
  void drop();
  [[nodiscard]] std::span<const float> reference() const { return reference_; }

  [[nodiscard]] bool listens() const { return session_ || recorder_; }
  void take(std::span<const float> interleaved, int channels);

  [[nodiscard]] const SongSession* session() const { return session_ ? &*session_ : nullptr; }
  void snapshot(Snapshot& into) const;  // of the session
  [[nodiscard]] bool records() const { return recorder_.has_value(); }
  [[nodiscard]] double recorded_s() const { return static_cast<double>(recording_.size()) / kSongRate_hz; }
  [[nodiscard]] std::optional<double> peak_dbfs() const;  // of the newest third of a second

 private:
  void begin(double sample_rate_hz, double discard_s);
  void note_peak();

  std::vector<float> reference_, recording_, mono_;
  std::optional<SongSession> session_;
  std::optional<RateChanger> recorder_;
  SongTrail trail_;
  std::uint64_t seen_dials_ = 0;
  double sample_rate_hz_ = 48000.0;
  std::size_t discard_frames_ = 0;  // still to be thrown away
  std::size_t peak_frames_ = 0;
  float peak_ = 0.0F, peak_before_ = 0.0F;  // of this sixth of a second and of the one before
};

}  // namespace four76
