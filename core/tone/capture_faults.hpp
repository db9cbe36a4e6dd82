// CaptureFaults: what the samples themselves say about the device that delivered them.
//
// - Lost samples: browsers insert runs of exact zeros when they under-run (441 or 1024 samples, seen by test) and say
//   nothing. A running tone has no run of zeros: one of 0.5 ms or more is a gap. Samples that are not finite count too.
// - Clipping: flat tops near full scale. A sine stays within 0.02 % of its peak for 0.6 % of its period (derived); a
//   flat top that lasts a twenty-fourth of the tone's period means an overdrive of 0.9 % or more. It takes two samples
//   at full scale and three below it, whatever the period: at 48 kHz a tone of 3 kHz is found clipped from 2 % on.
// - Level: peak over the last half second.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

namespace four76 {

class CaptureFaults {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;
    double nominal_hz = 3000.0;
    double longest_gap_s = 2.0;  // a longer run of zeros is silence; of music half a second is a pause
  };
  explicit CaptureFaults(const Config& config) noexcept;
  void reset() noexcept;
  // Repairs samples that are not finite (to 0) in place and looks at all of them.
  void process(std::span<float> samples) noexcept;

  // Whether any lost sample lies in that range of sample indices (both ends included), among the newest few gaps.
  [[nodiscard]] bool lost_between(double first_sample, double last_sample) const noexcept;
  [[nodiscard]] std::uint64_t gap_count() const noexcept { return gap_count_; }  // gaps within a running signal
  [[nodiscard]] double lost_s() const noexcept { return static_cast<double>(lost_samples_) / config_.sample_rate_hz; }

  // Share of the half-second blocks so far that were clipped, and whether the newest one was.
  [[nodiscard]] double clipped_share() const noexcept;
  [[nodiscard]] bool clipping_now() const noexcept { return clipping_now_; }

  [[nodiscard]] std::optional<double> peak_dbfs() const noexcept;             // last half second
  [[nodiscard]] double loudest_rms() const noexcept { return loudest_rms_; }  // of the half-second blocks so far
  [[nodiscard]] std::uint64_t sample_count() const noexcept { return count_; }

 private:
  struct Interval {
    std::uint64_t first = 0, last = 0;
  };
  void see(float magnitude) noexcept;
  void end_zero_run() noexcept;
  void end_block() noexcept;
  void add_interval(Interval interval) noexcept;

  static constexpr std::size_t kKept = 16;
  Config config_;
  std::uint64_t shortest_gap_;  // samples
  std::uint64_t longest_gap_;   // a longer one is silence, not a gap
  std::uint64_t block_samples_;
  std::uint64_t flat_samples_;  // a flat top of that length is clipping

  std::uint64_t count_ = 0;
  std::uint64_t zero_run_ = 0;
  bool open_interval_ = false;  // the newest kept interval is the zero run still going on
  float running_peak_ = 0.0F;   // decays over about 0.2 s
  float running_decay_;
  float peak_at_run_start_ = 0.0F;
  std::array<Interval, kKept> intervals_{};
  std::size_t interval_count_ = 0;
  std::uint64_t gap_count_ = 0, lost_samples_ = 0;

  float block_peak_ = 0.0F;
  double block_square_ = 0.0;
  std::uint64_t block_fill_ = 0;
  float flat_level_ = 0.0F;
  std::uint64_t flat_run_ = 0, flat_tops_ = 0;
  std::uint64_t blocks_ = 0, clipped_blocks_ = 0;
  bool clipping_now_ = false;
  std::optional<float> last_peak_;
  double loudest_rms_ = 0.0;
};

}  // namespace four76
