// AudioInput: owns the sessions and moves samples into them, from the microphone or from the demo's tape. Its verbs
// are the effects of the same names.
//
// The microphone's samples come through browser::set_sample_sink, between frames, so that they are measured even while
// the page is not drawn; blocks that a browser hands over twice are taken out. Some browsers hand out a single
// microphone as two equal channels: once enough sound proves it, the session is opened anew with one channel, and with
// two again as soon as they differ.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/demo/tape_simulator.hpp"
#include "core/signal/repeated_blocks.hpp"
#include "core/tone/tone_session.hpp"
#include "web/song/match/input.hpp"

namespace four76 {

class AudioInput {
 public:
  AudioInput();  // becomes the sample sink
  ~AudioInput();
  AudioInput(const AudioInput&) = delete;
  AudioInput& operator=(const AudioInput&) = delete;

  // The configuration must have no fault. In place of the present session, if any. A second that is to be dropped
  // counts from here.
  void open_session(const ToneSession::Config& config);
  void close_session();
  [[nodiscard]] ToneSession* session() { return session_ ? &*session_ : nullptr; }

  // The song bench's: while it listens, it alone is given the microphone's samples.
  [[nodiscard]] SongInput& song() { return song_; }
  void follow_song(double sample_rate_hz, double discard_s);
  void record_song(double sample_rate_hz, double discard_s);

  // While a tape plays, the microphone is not listened to. The tape's channels and rate are those of the session.
  void start_tape(const TapeSimulator::Config& config);
  void turn_tape(double trim_percent);
  void stop_tape();
  // Renders as much of the tape as time has passed since the last call, at most a quarter of a second. Once a frame;
  // does nothing without a tape.
  void advance_tape(double now_s);
  [[nodiscard]] bool tape_plays() const { return tape_.has_value(); }

  // Whether the microphone came on two channels with the very same samples, of which one is measured.
  [[nodiscard]] bool one_on_two_channels() const { return one_on_two_; }

  // Frames that were measured since the session was opened: one who watches sees whether the microphone stalls.
  [[nodiscard]] std::uint64_t frames_heard() const { return frames_heard_; }

 private:
  static void take_samples(void* self, std::span<const float> interleaved, int channels);
  void begin();
  void feed(std::span<const float> captured, int channels);
  void choose_channels(std::span<const float> interleaved);
  void reopen_with_channels(int channels);

  std::optional<ToneSession> session_;
  std::optional<TapeSimulator> tape_;
  SongInput song_;
  RepeatedBlocks repeats_;
  std::optional<double> tape_time_s_;
  std::vector<float> scratch_;
  std::uint64_t frames_heard_ = 0;
  bool one_on_two_ = false;
  double discard_s_ = 0.0;                               // asked for at the last open
  std::optional<std::uint64_t> equal_sound_frames_ = 0;  // with left == right; nothing once they differed
};

}  // namespace four76
