// plot: a spectrum as a filled line over hertz, with its peaks marked and named.
#pragma once

#include <string>
#include <vector>

#include "web/draw/paper.hpp"
#include "web/snapshot/snapshot.hpp"

namespace four76::draw {

struct PlotRange {
  double low_hz = 0.0, high_hz = 10000.0;
  double low_dbfs = -120.0, high_dbfs = 0.0;
  double tick_hz = 2000.0;
};

struct PlotMark {
  double frequency_hz = 0.0, level_dbfs = 0.0;
  std::string name;  // may be empty
  enum class Kind { tone, disturbing, other } kind = Kind::other;
};

// The loudest bin in each of `columns` equal parts of the range, in dBFS; the range's floor where there is no bin.
[[nodiscard]] std::vector<float> loudest_by_column(const SpectrumSnapshot& spectrum, const PlotRange& range,
                                                   int columns);

void plot(const Paper& paper, Rect area, const PlotRange& range, const SpectrumSnapshot& spectrum,
          const std::vector<PlotMark>& marks, double expected_hz);

}  // namespace four76::draw
