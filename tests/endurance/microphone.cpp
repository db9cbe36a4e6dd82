#include "tests/endurance/microphone.hpp"

#include <algorithm>
#include <limits>

namespace four76::test {
namespace {

constexpr std::size_t kBlockFrames = 2048;                            // as the worklet's
constexpr std::size_t kUnderrun_frames = 441, kOverrun_frames = 300;  // sources.md#browsers
constexpr float kOverdrive = 10.0F, kHissPeak = 1e-3F;

// A deck that is well, so that what is off is the fault's doing.
TapeSimulator::Config deck(const Input& input, double trim_percent, std::uint64_t seed) {
  TapeSimulator::Config config;
  config.sample_rate_hz = input.rate_hz;
  config.channels = input.channels;
  config.tone_hz = kDeckTone_hz;
  config.trim_percent = trim_percent;
  config.capstan_peak_percent = config.roller_peak_percent = config.reel_peak_percent = 0.03;
  config.belt_peak_percent = 0.02;
  config.belt_second_percent = 0.01;
  config.random_rms_percent = 0.005;
  config.seed = seed;
  return config;
}

}  // namespace

Microphone::Microphone(std::uint64_t seed) : chance_(seed), tape_(deck(input_, trim_percent_, seed)) {}

void Microphone::plug(const Input& input) {
  input_ = input;
  tape_ = TapeSimulator(deck(input, trim_percent_, chance_()));
}

void Microphone::turn(double trim_percent) {
  trim_percent_ = trim_percent;
  tape_.set_trim_percent(trim_percent);
}

double Microphone::block_s() const { return static_cast<double>(kBlockFrames) / input_.rate_hz; }

std::optional<std::span<const float>> Microphone::hear(Sound sound) {
  const auto step = static_cast<std::size_t>(input_.channels);
  block_.resize(kBlockFrames * step);
  tape_.render(block_);
  switch (sound) {
    case Sound::tape: break;
    case Sound::nothing: return std::nullopt;
    case Sound::zeros: std::fill(block_.begin(), block_.end(), 0.0F); break;
    case Sound::not_numbers: std::fill(block_.begin(), block_.end(), std::numeric_limits<float>::quiet_NaN()); break;
    case Sound::zero_runs: std::fill_n(block_.begin(), kUnderrun_frames * step, 0.0F); break;
    case Sound::losses: block_.resize(block_.size() - kOverrun_frames * step); break;
    case Sound::overdriven:
      for (float& sample : block_) sample = std::clamp(kOverdrive * sample, -1.0F, 1.0F);
      break;
    case Sound::hiss:
      for (float& sample : block_) sample = std::uniform_real_distribution(-kHissPeak, kHissPeak)(chance_);
      break;
  }
  return block_;
}

}  // namespace four76::test
