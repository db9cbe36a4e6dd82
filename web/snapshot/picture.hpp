// FlutterPicture: how strong the deviation is at each rate, 0.1 to 200 Hz, in columns spaced evenly over the logarithm
// of the rate, and the peaks in it. Plain data that views draw.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "core/tone/tone_session.hpp"

namespace four76 {

struct FlutterPicture {
  static constexpr std::size_t kColumns = 330;  // thirty an octave
  static constexpr double kLowestHz = 0.1, kHighestHz = 200.0;
  std::vector<float> peak_percent;  // of a sine there, a column each; empty before there is any
  std::vector<FlutterPeak> peaks;   // strongest first
  double span_s = 0.0;              // that it was made from
};

// The rate at which a column begins; that of kColumns is where the last one ends.
[[nodiscard]] double column_hz(std::size_t column) noexcept;
// The strongest bin in each column, or what lies between two bins where a column holds none.
void take_picture(const std::optional<FlutterSpectrumView>& spectrum, FlutterPicture& into);

// Of every channel. Making them takes some milliseconds, so that happens once a second.
struct FlutterPictures {
  std::array<FlutterPicture, 2> channel;
  std::array<FlutterEvidence, 2> evidence;  // of the same moment; its peaks are the pictures'
  std::optional<double> taken_s;            // of the session's time
};
// The evidence is of that stretch.
void refresh(ToneSession& session, Stretch stretch, FlutterPictures& pictures);

}  // namespace four76
