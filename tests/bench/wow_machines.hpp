// Machines whose wow is known to the sample, and a session that listens to them: what steadiness is measured on.
#pragma once

#include <cstdint>
#include <functional>
#include <string_view>
#include <vector>

#include "core/reading.hpp"

namespace four76::bench {

inline constexpr double kMachineRate_hz = 24000.0;

struct Part {
  double rate_hz, peak_percent;
  double change_hz_per_minute = 0.0;
};
struct Machine {
  const char* name;
  std::vector<Part> parts;
  double random_percent = 0.0;   // root mean square, below some 1.5 Hz
  double jolt_percent = 0.0;     // a belt's joint: a pulse of 60 ms once a turn of the first part
  double hunting_percent = 0.0;  // the first part's rate wanders by that share
};

const std::vector<Machine>& machines();
const Machine& machine_named(std::string_view name);

// Percent off the machine's speed, sample by sample.
std::vector<double> wow_of(const Machine& machine, double seconds, std::uint64_t seed);

// A 3000 Hz tone at 58 dB-Hz, of that speed and wow.
std::vector<float> play(const std::vector<double>& wow, const std::function<double(double)>& speed_percent,
                        std::uint64_t seed);

// Every row of the dial while that is heard.
void each_dial(const std::vector<float>& x, const std::function<void(double t, const Reading&)>& see);

}  // namespace four76::bench
