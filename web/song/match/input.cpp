#include "web/song/match/input.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/song/song_match.hpp"

namespace four76 {
namespace {

constexpr double kPeakPart_s = 1.0 / 6.0;

}  // namespace

void SongInput::begin(double sample_rate_hz, double discard_s) {
  stop();
  sample_rate_hz_ = sample_rate_hz;
  discard_frames_ = static_cast<std::size_t>(discard_s * sample_rate_hz);
  peak_ = peak_before_ = 0.0F;
  peak_frames_ = 0;
}

void SongInput::follow(double sample_rate_hz, double discard_s) {
  begin(sample_rate_hz, discard_s);
  session_.emplace(SongSession::Config{.sample_rate_hz = sample_rate_hz, .channels = 1}, reference_);
  trail_.clear();
  seen_dials_ = 0;
}

void SongInput::record(double sample_rate_hz, double discard_s) {
  begin(sample_rate_hz, discard_s);
  recorder_.emplace(RateChanger::Config{.sample_rate_hz = sample_rate_hz, .channels = 1});
}

void SongInput::stop() {
  session_.reset();
  recorder_.reset();
  recording_ = {};
}

void SongInput::hold(std::vector<float> reference) { reference_ = std::move(reference); }
void SongInput::hold_recording() { reference_ = std::exchange(recording_, {}); }
void SongInput::drop() { reference_ = {}; }

void SongInput::note_peak() {
  for (const float sample : mono_) peak_ = std::max(peak_, std::fabs(sample));
  peak_frames_ += mono_.size();
  if (static_cast<double>(peak_frames_) < kPeakPart_s * sample_rate_hz_) return;
  peak_before_ = std::exchange(peak_, 0.0F);
  peak_frames_ = 0;
}

void SongInput::take(std::span<const float> interleaved, int channels) {
  const auto step = static_cast<std::size_t>(std::max(1, channels));
  const std::size_t frames = interleaved.size() / step;
  const std::size_t from = std::min(discard_frames_, frames);
  discard_frames_ -= from;
  mono_.resize(frames - from);
  for (std::size_t i = 0; i < mono_.size(); ++i) {
    const std::size_t at = (from + i) * step;
    mono_[i] = step == 1 ? interleaved[at] : 0.5F * (interleaved[at] + interleaved[at + 1]);
  }
  note_peak();
  if (recorder_) {
    const auto most = static_cast<std::size_t>(kLongestReference_s * kSongRate_hz);
    recorder_->process(mono_, [&](float sample) {
      if (recording_.size() < most) recording_.push_back(sample);
    });
  }
  if (!session_) return;
  // The dial is read 20 times a second: in pieces, so that none of its readings is missed.
  const auto piece = static_cast<std::size_t>(0.02 * sample_rate_hz_);
  for (std::size_t at = 0; at < mono_.size(); at += piece) {
    session_->process(std::span<const float>(mono_).subspan(at, std::min(piece, mono_.size() - at)));
    if (session_->dial_count() == seen_dials_) continue;
    seen_dials_ = session_->dial_count();
    trail_.add(session_->dial());
  }
}

std::optional<double> SongInput::peak_dbfs() const {
  const float peak = std::max(peak_, peak_before_);
  if (!(peak > 0.0F)) return std::nullopt;
  return 20.0 * std::log10(static_cast<double>(peak));
}

void SongInput::snapshot(Snapshot& into) const {
  into.time_s = session_->time_s();
  into.sample_rate_hz = sample_rate_hz_;
  into.channels = 1;
  into.dial_count = session_->dial_count();
  into.channels_agree.reset();
  into.channels_identical.reset();
  into.cut_short = false;
  ChannelSnapshot& channel = into.channel[0];
  channel.dial = session_->dial();
  channel.calm = trail_.calm();
  channel.trail = trail_.points();
  channel.input_peak_dbfs = peak_dbfs();
  channel.raw.clear();
  channel.weighted.clear();
}

}  // namespace four76
