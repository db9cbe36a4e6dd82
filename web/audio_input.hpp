// AudioInput: moves samples, from the microphone or from the demo's tape, into a ToneSession.
//
// A live capture drops its first second. A mono device often arrives as two equal channels: the session then measures
// one. The samples of the microphone come through browser::set_sample_sink, between frames; the demo's are rendered by
// advance_demo, which main calls once a frame.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "core/demo/tape_simulator.hpp"
#include "core/tone/tone_session.hpp"
#include "web/browser.hpp"

namespace four76 {

class AudioInput {
 public:
  static constexpr double kDiscardS = 1.0;  // facts: the first second of a capture is not to be trusted

  AudioInput();
  ~AudioInput();
  AudioInput(const AudioInput&) = delete;
  AudioInput& operator=(const AudioInput&) = delete;

  // What is wrong, in words, where nothing can be measured with this rate or nominal; nothing when it was started.
  std::optional<std::string_view> start_microphone(const browser::CaptureStarted& capture, double nominal_hz);
  void start_demo(double nominal_hz, double tone_hz);
  void stop();  // keeps the session, so that the last readings stay

  // Measures against another nominal from now on, without dropping another second.
  std::optional<std::string_view> set_nominal(double nominal_hz);

  // Renders as much of the demo's tape as time has passed since the last call, at most a quarter of a second.
  void advance_demo(double now_s);
  void set_demo_trim_percent(double percent);
  [[nodiscard]] std::optional<double> demo_trim_percent() const;

  [[nodiscard]] bool running() const { return source_ != Source::none; }
  [[nodiscard]] bool microphone() const { return source_ == Source::microphone; }
  [[nodiscard]] bool demo() const { return source_ == Source::demo; }
  // Nothing before the first start.
  [[nodiscard]] const ToneSession* session() const { return session_ ? &*session_ : nullptr; }

 private:
  enum class Source : std::uint8_t { none, microphone, demo };

  static void take_samples(void* self, std::span<const float> interleaved, int channels);
  void feed(std::span<const float> interleaved, int channels);
  void fall_back_to_mono(std::span<const float> interleaved);
  std::optional<std::string_view> open_session(const ToneSession::Config& config);

  Source source_ = Source::none;
  std::optional<ToneSession> session_;
  std::optional<TapeSimulator> tape_;
  std::vector<float> scratch_;
  std::uint64_t frames_heard_ = 0;   // since the capture started, across sessions
  bool equal_so_far_ = false;        // every stereo frame heard so far had left == right
  std::optional<double> demo_time_s_;
};

}  // namespace four76
