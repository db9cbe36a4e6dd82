#include "web/song/match/job.hpp"

#include <algorithm>

#include "web/song/state.hpp"
#include "web/song/words.hpp"

namespace four76 {
namespace {

constexpr double kLowestRate_hz = 8000.0, kHighestRate_hz = 192000.0;  // of a RateChanger
constexpr double kSilent = 1e-9;                                       // mean square, -90 dBFS: as match_song has it

bool is_silent(std::span<const float> samples) {
  double sum = 0.0;
  for (const float sample : samples) sum += static_cast<double>(sample) * sample;
  return sum <= kSilent * static_cast<double>(samples.size());
}

}  // namespace

std::optional<std::string> SongJob::begin(double sample_rate_hz, int channels, double frames, bool tape) {
  tape_ = tape;
  samples_.clear();
  if (!(sample_rate_hz >= kLowestRate_hz && sample_rate_hz <= kHighestRate_hz))
    return std::string(words::unfit_rate_song());
  file_s_ = frames / sample_rate_hz;
  if (!tape && file_s_ > kLongestReference_s) return words::too_long_song(file_s_);
  if (file_s_ < kShortestTape_s) return words::too_short_song(file_s_, tape);
  frames_wanted_ = tape ? std::min(frames, kLongestTape_s * sample_rate_hz) : frames;
  changer_.emplace(RateChanger::Config{.sample_rate_hz = sample_rate_hz, .channels = channels});
  losses_.reset();
  if (tape) losses_.emplace(sample_rate_hz, channels);
  samples_.reserve(static_cast<std::size_t>(frames_wanted_ / sample_rate_hz * kSongRate_hz) + 64);
  return std::nullopt;
}

void SongJob::take(std::span<const float> interleaved) {
  const auto most = static_cast<std::size_t>((tape_ ? kLongestTape_s : kLongestReference_s) * kSongRate_hz);
  if (losses_ && samples_.size() < most) losses_->process(interleaved);
  changer_->process(interleaved, [&](float sample) {
    if (samples_.size() < most) samples_.push_back(sample);
  });
}

std::optional<std::string> SongJob::finish() {
  if (is_silent(samples_)) return std::string(words::silent_song(tape_));
  return std::nullopt;
}

std::span<float> SongJob::reference(std::size_t samples) {
  reference_.resize(samples);
  return reference_;
}

std::vector<std::uint8_t> SongJob::match(const std::function<void(double)>& progress) {
  const auto go_on = [&](double done) {
    progress(done);
    return true;
  };
  auto match = match_song(reference_, samples_, go_on, losses_ ? losses_->found() : LostSamples{});
  SongResult result;  // the page holds it against the tolerance that is set there
  if (match) result.match = std::move(*match);
  result.tape_s = file_s_;
  result.used_s = static_cast<double>(samples_.size()) / kSongRate_hz;
  return encode(result);
}

}  // namespace four76
