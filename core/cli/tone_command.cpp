#include "core/cli/tone_command.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <optional>
#include <ostream>
#include <span>

#include "core/cli/audio_file.hpp"
#include "core/cli/complain.hpp"
#include "core/cli/exit_status.hpp"

namespace four76::cli {
namespace {

constexpr double kSoftEnd_s = 0.010;
constexpr double kMostFileBytes = 4294967295.0 - 1024.0;  // a WAV file's sizes have 32 bits
constexpr double kBytesPerFrame = 3.0;

// Written so that "not a number" is refused too.
std::optional<std::string> fault_in(const ToneOptions& options) {
  if (!(options.rate_hz >= 8000.0 && options.rate_hz <= 192000.0 && options.rate_hz == std::floor(options.rate_hz)))
    return "--rate takes a whole number from 8000 to 192000 Hz: 48000 suits nearly everything";
  if (!(options.tone_hz >= 10.0)) return "--tone takes 10 Hz or more: speed tapes carry 3000 or 3150 Hz";
  if (!(options.tone_hz <= 0.45 * options.rate_hz))
    return "--tone is too high for the sample rate: keep it below 0.45 of --rate";
  if (!(options.level_dbfs >= -120.0 && options.level_dbfs <= 0.0))
    return "--level takes -120 to 0 dBFS: -12 leaves room for any player";
  if (!(options.seconds * options.rate_hz >= 1.0))
    return "--seconds is too short for a single sample: 30 suits a measurement";
  if (!(options.seconds * options.rate_hz * kBytesPerFrame <= kMostFileBytes))
    return "--seconds is too long for one WAV file: it holds 4 GB, which is 8 hours at 48000 Hz";
  return std::nullopt;
}

// The tone itself: phase worked out afresh for every sample, so that no error adds up; a raised cosine at both ends, so
// that nothing clicks.
class Tone {
 public:
  explicit Tone(const ToneOptions& options)
      : tone_hz_(options.tone_hz),
        rate_hz_(options.rate_hz),
        amplitude_(std::pow(10.0, options.level_dbfs / 20.0)),
        frames_(static_cast<std::int64_t>(std::llround(options.seconds * options.rate_hz))),
        soft_frames_(std::min(kSoftEnd_s * options.rate_hz, static_cast<double>(frames_) / 4.0)) {}

  [[nodiscard]] std::int64_t frames() const noexcept { return frames_; }
  [[nodiscard]] float sample(std::int64_t n) const noexcept {
    const double cycles = std::fmod(static_cast<double>(n) * tone_hz_, rate_hz_) / rate_hz_;
    const auto to_end = static_cast<double>(std::min(n, frames_ - 1 - n));
    const double gain = to_end >= soft_frames_ ? 1.0 : 0.5 - 0.5 * std::cos(std::numbers::pi * to_end / soft_frames_);
    return static_cast<float>(amplitude_ * gain * std::sin(2.0 * std::numbers::pi * cycles));
  }

 private:
  double tone_hz_, rate_hz_, amplitude_;
  std::int64_t frames_;
  double soft_frames_;
};

}  // namespace

int run_tone(const ToneOptions& options, std::ostream& err) {
  if (const auto fault = fault_in(options)) return complain(err, *fault), kBadUsage;
  auto writer = WavWriter::create(options.file, static_cast<int>(options.rate_hz));
  if (!writer) return complain(err, options.file, writer.fault()), kFileFault;

  const Tone tone(options);
  std::array<float, 4096> block{};
  bool written = true;
  for (std::int64_t at = 0; at < tone.frames() && written; at += static_cast<std::int64_t>(block.size())) {
    const auto count = static_cast<std::size_t>(std::min<std::int64_t>(tone.frames() - at, block.size()));
    for (std::size_t i = 0; i < count; ++i) block[i] = tone.sample(at + static_cast<std::int64_t>(i));
    written = writer->write(std::span(block).first(count));
  }
  if (!(writer->close() && written))
    return complain(err, options.file, "could not be written to its end: make room on the disk"), kFileFault;
  return kDone;
}

}  // namespace four76::cli
