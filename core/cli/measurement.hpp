// Measurement: what `four76 measure` found in one file, as plain data for the writers of JSON and of the summary.
#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/flutter/causes.hpp"
#include "core/flutter/flutter_figures.hpp"
#include "core/flutter/flutter_peaks.hpp"
#include "core/flutter/level_flutter.hpp"
#include "core/flutter/verdicts.hpp"
#include "core/reading.hpp"
#include "core/records/error_budget.hpp"

namespace four76::cli {

struct ChannelReading {
  std::string_view channel;  // mono, left or right
  Reading reading;
  ErrorBudget budget = {};                   // sound, wow, clock and tape
  FlutterReading flutter = {};               // over the whole file
  std::vector<FlutterPeak> components = {};  // of its last 60 s, strongest first
  LevelReading level = {};
  Causes causes = {};
  Verdicts verdicts = {};
};

struct Measurement {
  std::string file;  // as it was named on the command line
  int sample_rate_hz = 0;
  double duration_s = 0.0;  // of what could be read
  double tone_nominal_hz = 0.0;
  std::optional<double> clock_ppm = {};  // that was corrected
  bool clock_is_checked = false;         // what is left of its error was stated
  std::vector<ChannelReading> channels;
  std::optional<bool> channels_identical;  // nothing with one channel, or without sound
  std::optional<bool> channels_agree;      // nothing with one channel, or where one is not measured

  [[nodiscard]] bool any_measured() const noexcept {
    return std::ranges::any_of(channels, [](const auto& c) { return c.reading.status == Status::measured; });
  }
};

}  // namespace four76::cli
