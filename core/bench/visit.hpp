// Visit: what is kept of a timed measurement: as found, as left, or in between; at the tape's start, middle or end.
//
// A measurement runs for 30 s where nothing else is asked for (service manuals: after about 30 s of running; DIN 45500
// takes the mean over 30 s), 5 s at the least (AES6-2008 reads no flutter from less). TimedRun keeps the dial's course
// on the way, in constant memory, and says when it is over; measured_channel() makes what is kept out of the session's
// readings. Plain data: core/records/card writes it, core/records/report shows it.
//
// What tapes of music tell by themselves is a visit of its own kind: it holds TapesEvidence and no measurement, and is
// neither as found nor as left. speed_of() and all that goes by it know nothing of it.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/flutter/flutter_figures.hpp"
#include "core/flutter/flutter_peaks.hpp"
#include "core/reading.hpp"
#include "core/tapes/speed_posterior.hpp"

namespace four76 {

inline constexpr double kVisitUsualS = 30.0, kVisitLeastS = 5.0, kVisitMostS = 3600.0;
inline constexpr std::size_t kMostCourse = 240;     // points of the speed's course
inline constexpr std::size_t kMostSpectrum = 256;   // bins of the spectrum that is kept
inline constexpr std::size_t kMostComponents = 12;  // of wow and flutter

enum class VisitStage : std::uint8_t { as_found, as_left, between };
enum class TapePlace : std::uint8_t { unsaid, start, middle, end };
enum class VisitSource : std::uint8_t { tone, song, meter, timing, tapes };
enum class VisitVerdict : std::uint8_t { within, outside, cannot_be_told, not_measured };
[[nodiscard]] std::string_view name_of(VisitStage stage) noexcept;
[[nodiscard]] std::string_view name_of(TapePlace place) noexcept;
[[nodiscard]] std::string_view name_of(VisitSource source) noexcept;
[[nodiscard]] std::string_view name_of(VisitVerdict verdict) noexcept;
[[nodiscard]] std::string_view name_of(SoundsLike like) noexcept;  // "none" where it was not said

struct Component {
  double rate_hz = 0.0, peak_percent = 0.0;
  bool operator==(const Component&) const = default;
};

struct MeasuredChannel {
  std::string channel = "mono";  // or left, right
  Status status = Status::no_tone;
  ReasonList reasons;
  std::optional<double> frequency_hz, speed_error_percent, u95_percent;
  std::optional<double> level_dbfs, carrier_to_noise_dbhz;
  std::optional<double> weighted_two_sigma_percent, weighted_quasi_peak_percent, unweighted_two_sigma_percent;
  std::optional<double> drift_percent_per_minute;
  std::vector<Component> components;
  bool operator==(const MeasuredChannel&) const = default;
};

struct TapesEvidence {
  int tapes = 1;  // that carry something
  double speed_error_percent = 0.0, u95_percent = 0.0;
  std::optional<double> concert_a_hz;  // what their music is taken to be tuned to; nothing where it does not go by it
  bool line_scan = false, mains_hum = false;      // it goes by these as well
  SoundsLike sounds_like = SoundsLike::not_said;  // what chose among the speeds that fit
  bool operator==(const TapesEvidence&) const = default;
};

struct Measurement {
  std::string id;    // unlike any other
  std::string time;  // "2026-11-26 10:45", of the device
  VisitStage stage = VisitStage::between;
  TapePlace place = TapePlace::unsaid;
  VisitSource source = VisitSource::tone;
  double seconds = 0.0;                            // that it rests on
  double nominal_hz = 3000.0;                      // what the tape carries, as stated or certified
  std::optional<double> tape_u95_percent;          // of that
  std::optional<double> clock_ppm, clock_u95_ppm;  // of the sample clock; nothing where it was not checked
  double tolerance_percent = 0.5;
  std::string tape, device, note;                     // names; may be empty
  std::vector<MeasuredChannel> channels;              // one or two; none beside by_tapes
  double course_step_s = 0.0;                         // of the first channel
  std::vector<std::optional<double>> course_percent;  // nothing where there was no reading
  double spectrum_first_hz = 0.0, spectrum_bin_hz = 0.0;
  std::vector<double> spectrum_dbfs;
  std::optional<TapesEvidence> by_tapes;  // where the source is tapes, and only there
  std::int64_t changed_ms = 0;            // since 1970: which of two is newer
  bool operator==(const Measurement&) const = default;
};

[[nodiscard]] MeasuredChannel measured_channel(std::string_view channel, const Reading& whole,
                                               const FlutterReading& flutter, std::span<const FlutterPeak> peaks);
// Speed error over all channels that were measured: their mean, weighted alike, and the greatest of their u95 and of
// half their difference; the clock's and the tape's own terms added, as in core/records/error_budget.
struct VisitSpeed {
  double percent = 0.0, u95_percent = 0.0;
};
[[nodiscard]] std::optional<VisitSpeed> speed_of(const Measurement& measurement) noexcept;
[[nodiscard]] VisitVerdict verdict_of(const Measurement& measurement) noexcept;
// How far the channels' speeds lie apart, percent; nothing with one, 0 where they agree (see speeds_agree). Where they
// do not, something is wrong with the recording: both come off the same tape.
[[nodiscard]] std::optional<double> channels_apart_percent(const Measurement& measurement) noexcept;
// Greatest less least speed over measurements at different places of a tape; nothing from fewer than two.
[[nodiscard]] std::optional<double> spread_over_tape_percent(std::span<const Measurement> measurements) noexcept;

// As many bins as asked for at most, each the strongest of those it stands for.
[[nodiscard]] std::vector<double> thinned_spectrum(std::span<const float> level_dbfs, std::size_t most);

class TimedRun {
 public:
  struct Config {
    double seconds = kVisitUsualS;  // kVisitLeastS to kVisitMostS
  };
  explicit TimedRun(const Config& config) noexcept;
  void reset() noexcept;
  // The dial's next reading, 20 a second.
  void add(const Reading& dial) noexcept;
  [[nodiscard]] double passed_s() const noexcept { return passed_s_; }
  [[nodiscard]] bool done() const noexcept { return passed_s_ >= config_.seconds; }
  // How much of it had a reading that holds.
  [[nodiscard]] double measured_share() const noexcept;
  // Two readings of the dial at least.
  [[nodiscard]] double course_step_s() const noexcept {
    return std::max(config_.seconds / static_cast<double>(kMostCourse), 0.1);
  }
  [[nodiscard]] std::vector<std::optional<double>> course() const;

 private:
  Config config_;
  std::optional<double> first_s_;
  double passed_s_ = 0.0;
  std::size_t readings_ = 0, measured_ = 0;
  std::array<double, kMostCourse> sums_{};
  std::array<std::uint32_t, kMostCourse> counts_{};
};

}  // namespace four76
