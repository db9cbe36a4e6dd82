// FlutterSpectrum: how strong the deviation is at each rate, 0.1 to 200 Hz: a sinusoidal component reads its peak
// percent.
//
//   points --> VoidBridge --> [flat to 200 Hz] --> [every n-th, 450 to 900 a second] --> ring of the newest 60 s
//   ring --> less a straight line, times Hann's window over all that is there --> transform --> peaks --> SlowMovers
//
// - The window spans what has been heard, from 4 s up to 60 s, so the resolution (Hann's width at half amplitude,
//   2 / span) sharpens from 0.5 to 0.033 Hz; the transform is always the same, 65,536 or beyond 555 points a second
//   131,072, filled up with zeros, so bins keep their rates.
// - Voids weigh nothing, and what is left is scaled up again: exact for components that go on underneath. Bridged
//   values feed the filter alone.
// - The straight line takes mean speed and drift. What is below three turns in the span is not called a peak.
// - What noise reads in a bin grows as the root of the bin's width, 1.5 / span.
//
// process() takes a few operations a point; analyse() a transform of the ring and one of its weights, some
// milliseconds: once a second is plenty. Neither allocates. Memory some 2 to 4 MB.
#pragma once

#include <complex>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/flutter/deviation_filter.hpp"
#include "core/flutter/flutter_peaks.hpp"
#include "core/flutter/slow_movers.hpp"
#include "core/flutter/void_bridge.hpp"
#include "core/signal/fft.hpp"

namespace four76 {

struct FlutterSpectrumView {
  std::span<const float> peak_percent;  // by bin, from 0 Hz to 200 Hz
  double bin_hz = 0.0;
  double span_s = 0.0;
  double resolution_hz = 0.0;
  double lowest_hz = 0.0;              // of peaks
  std::span<const FlutterPeak> peaks;  // strongest first
};

class FlutterSpectrum {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
    double nominal_hz = 3000.0;
    bool differenced = true;  // see DeviationFilter
  };
  static constexpr double kLeastS = 4.0, kLongestS = 60.0;

  explicit FlutterSpectrum(const Config& config);
  void reset() noexcept;
  void process(std::span<const DeviationPoint> points) noexcept;

  // Of what has been heard so far; nothing before 4 s, or where more than half of it is void. The view lies in the
  // spectrum's own memory until the next call. N0/C in 1/Hz.
  [[nodiscard]] std::optional<FlutterSpectrumView> analyse(std::optional<double> noise_to_carrier) noexcept;

 private:
  struct Weights {
    double sum = 0.0, squares = 0.0;
    bool voids = false;
  };
  struct Line {
    double middle = 0.0, mean = 0.0, slope = 0.0;
  };
  void take(const BridgedPoint& point) noexcept;
  Weights fill_weights(std::size_t length) noexcept;
  [[nodiscard]] Line fit_line(std::size_t length, double weight) const noexcept;
  [[nodiscard]] std::size_t ring_at(std::size_t from_oldest, std::size_t length) const noexcept {
    return (next_ + ring_.size() - length + from_oldest) % ring_.size();
  }
  Line transform_record(std::size_t length, const Weights& weights) noexcept;
  void transform_weights(std::size_t length, double sum_of_weights) noexcept;
  void hann_leakage(double span_s) noexcept;
  std::span<const std::complex<float>> transform(double sum_of_weights, std::vector<float>& magnitudes,
                                                 double scale) noexcept;

  Config config_;
  VoidBridge bridge_;
  DeviationFilter filter_;
  std::size_t decimation_;
  double rate_hz_;  // of the ring
  std::size_t until_kept_, unsettled_ = 0;
  bool begun_ = false;
  std::vector<std::uint8_t> kinds_;  // ring: whether the point at the filter's middle is sound
  std::size_t kind_next_ = 0;
  std::vector<float> ring_;
  std::vector<std::uint8_t> sound_;
  std::size_t next_ = 0, held_ = 0;

  std::size_t size_;  // of the transform
  RealFft fft_;
  std::vector<float> frame_, weights_;
  std::vector<float> power_, leakage_, peak_percent_;
  FlutterPeaks peaks_;
  SlowBand slow_;
  SlowMovers movers_;
};

}  // namespace four76
