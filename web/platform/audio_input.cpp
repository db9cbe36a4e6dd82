#include "web/platform/audio_input.hpp"

#include <algorithm>
#include <cmath>

#include "web/platform/browser.hpp"

namespace four76 {
namespace {

constexpr double kLongestCatchUpS = 0.25;  // a page that was hidden does not replay what it missed
constexpr double kEqualForS = 0.2;         // of sound with left == right bit for bit proves one microphone

}  // namespace

AudioInput::AudioInput() { browser::set_sample_sink(&AudioInput::take_samples, this); }

AudioInput::~AudioInput() { browser::set_sample_sink(nullptr, nullptr); }

void AudioInput::open_session(const ToneSession::Config& config) {
  session_.emplace(config);
  discard_s_ = config.discard_s;
  begin();
  equal_sound_frames_ = 0;
  one_on_two_ = false;
}

void AudioInput::begin() {
  repeats_.reset();
  frames_heard_ = 0;
}

void AudioInput::close_session() {
  session_.reset();
  song_.stop();
}

void AudioInput::follow_song(double sample_rate_hz, double discard_s) {
  close_session();
  begin();
  song_.follow(sample_rate_hz, discard_s);
}

void AudioInput::record_song(double sample_rate_hz, double discard_s) {
  close_session();
  begin();
  song_.record(sample_rate_hz, discard_s);
}

void AudioInput::start_tape(const TapeSimulator::Config& config) {
  tape_.emplace(config);
  tape_time_s_.reset();
}

void AudioInput::turn_tape(double trim_percent) {
  if (tape_) tape_->set_trim_percent(trim_percent);
}

void AudioInput::stop_tape() { tape_.reset(); }

void AudioInput::advance_tape(double now_s) {
  if (!tape_ || !session_) return;
  const double elapsed_s = std::clamp(now_s - tape_time_s_.value_or(now_s), 0.0, kLongestCatchUpS);
  tape_time_s_ = now_s;
  const auto frames = static_cast<std::size_t>(std::lround(elapsed_s * tape_->config().sample_rate_hz));
  scratch_.resize(frames * static_cast<std::size_t>(tape_->config().channels));
  tape_->render(scratch_);
  session_->process(scratch_);
}

void AudioInput::take_samples(void* self, std::span<const float> interleaved, int channels) {
  static_cast<AudioInput*>(self)->feed(interleaved, channels);
}

void AudioInput::feed(std::span<const float> captured, int channels) {
  const std::span<const float> interleaved = repeats_.process(captured, channels);
  if (song_.listens()) {
    frames_heard_ += interleaved.size() / static_cast<std::size_t>(channels);
    return song_.take(interleaved, channels);
  }
  if (!session_ || tape_ || interleaved.empty()) return;
  if (channels == 2) choose_channels(interleaved);
  if (channels == 1 && session_->config().channels == 2) reopen_with_channels(1);  // the device changed in mid-run
  one_on_two_ = channels == 2 && session_->config().channels == 1;
  frames_heard_ += interleaved.size() / static_cast<std::size_t>(channels);

  if (channels == session_->config().channels) {
    session_->process(interleaved);
    return;
  }
  scratch_.resize(interleaved.size() / 2);  // one microphone on two equal channels
  for (std::size_t i = 0; i < scratch_.size(); ++i) scratch_[i] = interleaved[2 * i];
  session_->process(scratch_);
}

void AudioInput::choose_channels(std::span<const float> interleaved) {
  std::uint64_t sounding = 0;
  for (std::size_t i = 0; i + 1 < interleaved.size(); i += 2) {
    if (interleaved[i] != interleaved[i + 1]) {
      equal_sound_frames_.reset();
      if (session_->config().channels == 1) reopen_with_channels(2);
      return;
    }
    if (interleaved[i] != 0.0f) ++sounding;
  }
  if (!equal_sound_frames_) return;
  *equal_sound_frames_ += sounding;
  const bool proved = static_cast<double>(*equal_sound_frames_) > kEqualForS * session_->config().sample_rate_hz;
  if (proved && session_->config().channels == 2) reopen_with_channels(1);
}

// What is left of the second to be dropped is still dropped, but no more than that.
void AudioInput::reopen_with_channels(int channels) {
  ToneSession::Config config = session_->config();
  config.channels = channels;
  config.discard_s = std::max(0.0, discard_s_ - static_cast<double>(frames_heard_) / config.sample_rate_hz);
  session_.emplace(config);
}

}  // namespace four76
