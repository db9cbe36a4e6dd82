// Devices that lose or add samples again and again: how often the live dial is wrong without a word.
//
//   four76_stutter [SEED] [DEVICES A CELL] [--each] [--snr DB]...
//
// A device loses, repeats, inserts zeros for or blanks N samples after each M: N of 16 to 1024, M of 441 to 16384, both
// spread evenly by their logarithm, fixed or each time anew between a half and one and a half of that. It begins after
// three seconds of a tape that is heard well, or with the first sample; what is wrong afterwards lasts to the end.
// A row of the dial is silently wrong where it is shown as measured, does not say capture_gap, and its error is beyond
// its u95 and 0.05 % more, for longer than the half second in which the dial may answer to a fault. Told: the same with
// capture_gap. The truth is the trimmer: a portable's wow is what u95 is for.
//
// Promised, or the status is 1: no device is silently wrong, and healthy ones are measured in 9 of 10 rows and accused
// in none of a thousand: who says nothing, or always the same, keeps no promise.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <random>
#include <string>
#include <vector>

#include "core/demo/tape_simulator.hpp"
#include "core/tone/tone_session.hpp"

namespace four76::bench {
namespace {

constexpr double kNominal_hz = 3000.0, kLasts_s = 12.0, kHealthy_s = 3.0, kAllowed_s = 0.5, kBeyond_percent = 0.05;
constexpr std::array kRates_hz = {44100.0, 48000.0, 96000.0};

enum class Kind { none, loses, repeats, inserts, blanks };
constexpr std::array kKinds = {Kind::none, Kind::loses, Kind::repeats, Kind::inserts, Kind::blanks};
constexpr std::array kKindNames = {"none", "loses", "repeats", "inserts zeros", "blanks"};

struct Device {
  Kind kind = Kind::loses;
  double rate_hz = 48000.0, snr_db = 60.0, trim_percent = 0.0, begins_s = 0.0;
  bool wow = false, at_random = false;
  std::size_t lost = 0, each = 0;
};

using Chance = std::mt19937_64;

double uniform(Chance& chance, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(chance);
}
std::size_t log_uniform(Chance& chance, double low, double high) {
  return static_cast<std::size_t>(std::exp(uniform(chance, std::log(low), std::log(high))));
}

std::vector<float> tape_of(const Device& device, std::uint64_t seed) {
  TapeSimulator::Config config;
  config.sample_rate_hz = device.rate_hz;
  config.tone_hz = kNominal_hz;
  config.trim_percent = device.trim_percent;
  config.hiss_dbhz = device.snr_db + 10.0 * std::log10(device.rate_hz / 2.0);
  config.seed = seed;
  if (!device.wow)
    config.capstan_peak_percent = config.roller_peak_percent = config.reel_peak_percent = config.belt_peak_percent =
        config.belt_second_percent = config.random_rms_percent = 0.0;
  TapeSimulator tape(config);
  std::vector<float> samples(static_cast<std::size_t>((kLasts_s + 1.0) * device.rate_hz));
  tape.render(samples);
  return samples;
}

std::vector<float> through(const Device& device, const std::vector<float>& tape, Chance& chance) {
  if (device.kind == Kind::none) return tape;
  const auto some = [&](std::size_t usual) {
    return device.at_random ? static_cast<std::size_t>(static_cast<double>(usual) * uniform(chance, 0.5, 1.5)) : usual;
  };
  std::vector<float> heard;
  auto next = static_cast<std::size_t>(device.begins_s * device.rate_hz) + device.each;
  for (std::size_t at = 0; at < tape.size();) {
    if (at < next) {
      heard.push_back(tape[at++]);
      continue;
    }
    const std::size_t count = std::min(some(device.lost), tape.size() - at);
    if (device.kind == Kind::repeats)
      for (std::size_t i = 0; i < count; ++i) heard.push_back(heard[heard.size() - count]);
    if (device.kind == Kind::inserts || device.kind == Kind::blanks) heard.insert(heard.end(), count, 0.0F);
    if (device.kind == Kind::loses || device.kind == Kind::blanks) at += count;
    next = at + some(device.each);
  }
  heard.resize(std::min(heard.size(), static_cast<std::size_t>(kLasts_s * device.rate_hz)));
  return heard;
}

struct Tally {
  long devices = 0, rows = 0, measured = 0, told = 0, silent = 0, silent_devices = 0, wrong_devices = 0, named = 0;
  double worst_percent = 0.0, longest_s = 0.0;
  void add(const Tally& o) {
    devices += o.devices, rows += o.rows, measured += o.measured, told += o.told, silent += o.silent, named += o.named;
    silent_devices += o.silent_devices, wrong_devices += o.wrong_devices;
    worst_percent = std::max(worst_percent, o.worst_percent), longest_s = std::max(longest_s, o.longest_s);
  }
};

Tally listen(const Device& device, std::uint64_t seed) {
  Chance chance(seed);
  const std::vector<float> tape = tape_of(device, seed);
  const std::vector<float> heard = through(device, tape, chance);
  ToneSession session({.sample_rate_hz = device.rate_hz, .nominal_hz = kNominal_hz});
  Tally tally;
  double right_s = device.begins_s, not_silent_s = device.begins_s;
  std::uint64_t dials = 0;
  for (std::size_t at = 0; at < heard.size(); at += 128) {
    session.process(std::span(heard).subspan(at, std::min<std::size_t>(128, heard.size() - at)));
    if (session.dial_count() == dials) continue;
    dials = session.dial_count();
    const Reading& dial = session.dial(0);
    const double now_s = session.time_s();
    if (now_s <= device.begins_s) continue;
    ++tally.rows;
    const bool measured = dial.status == Status::measured && dial.speed_error_percent && dial.u95_percent;
    const bool says = dial.reasons.contains(Reason::capture_gap);
    tally.measured += measured;
    tally.named += says;
    const double off = measured ? std::abs(*dial.speed_error_percent - device.trim_percent) : 0.0;
    const bool wrong = measured && off > *dial.u95_percent + kBeyond_percent;
    if (!wrong) right_s = now_s;
    if (!wrong || says) not_silent_s = now_s;
    tally.told += wrong && says && now_s - right_s > kAllowed_s;
    tally.wrong_devices |= now_s - right_s > kAllowed_s;
    if (now_s - not_silent_s <= kAllowed_s) continue;
    ++tally.silent;
    tally.silent_devices = 1;
    tally.worst_percent = std::max(tally.worst_percent, off - *dial.u95_percent);
    tally.longest_s = std::max(tally.longest_s, now_s - not_silent_s);
  }
  tally.devices = 1;
  return tally;
}

std::string name_of(const Device& device) {
  char line[160];
  std::snprintf(line, sizeof line, "%-13s %-6s %5.0f Hz %2.0f dB %-8s",
                kKindNames[static_cast<std::size_t>(device.kind)], device.at_random ? "random" : "fixed",
                device.rate_hz, device.snr_db, device.wow ? "portable" : "steady");
  return line;
}

void print(const std::string& name, const Tally& t) {
  std::printf(
      "%s %5ld devices: %4ld silently wrong (%5ld of %6ld rows, worst %.2f %%, longest %.1f s), %4ld wrong at "
      "all (%5ld rows that say so); %5.1f %% measured, %5.1f %% say capture_gap\n",
      name.c_str(), t.devices, t.silent_devices, t.silent, t.rows, t.worst_percent, t.longest_s, t.wrong_devices,
      t.told, 100.0 * static_cast<double>(t.measured) / static_cast<double>(std::max(1L, t.rows)),
      100.0 * static_cast<double>(t.named) / static_cast<double>(std::max(1L, t.rows)));
  std::fflush(stdout);
}

Device draw(Chance& chance, const Device& cell) {
  Device device = cell;
  do {
    device.lost = log_uniform(chance, 16.0, 1024.0);
    device.each = log_uniform(chance, 441.0, 16384.0);
  } while (device.lost * 2 > device.each);
  device.trim_percent = uniform(chance, -2.5, 2.5);
  device.begins_s = chance() % 2 == 0 ? 0.0 : kHealthy_s;
  return device;
}

void play_cell(const Device& cell, int count, bool each, Chance& chance, Tally& all, std::array<Tally, 5>& by_kind) {
  Tally tally;
  for (int i = 0; i < count; ++i) {
    const Device device = draw(chance, cell);
    const Tally one = listen(device, chance());
    tally.add(one);
    if (each && one.wrong_devices != 0)
      std::printf(
          "    N %4zu M %5zu from %.0f s trim %+.3f: phase %+.3f cycles a loss, %.2f %% of speed; %ld silent, %ld "
          "told, worst %.3f\n",
          device.lost, device.each, device.begins_s, device.trim_percent,
          std::remainder(
              static_cast<double>(device.lost) * kNominal_hz * (1.0 + device.trim_percent / 100.0) / device.rate_hz,
              1.0),
          100.0 / kNominal_hz * device.rate_hz / static_cast<double>(device.each) *
              std::remainder(
                  static_cast<double>(device.lost) * kNominal_hz * (1.0 + device.trim_percent / 100.0) / device.rate_hz,
                  1.0),
          one.silent, one.told, one.worst_percent);
  }
  print(name_of(cell), tally);
  all.add(tally);
  by_kind[static_cast<std::size_t>(cell.kind)].add(tally);
}

int run(std::uint64_t seed, int count, bool each, const std::vector<double>& snrs_db) {
  Tally all;
  std::array<Tally, 5> by_kind{};
  Chance chance(seed);
  for (const Kind kind : kKinds)
    for (const bool at_random : {false, true})
      for (const double rate_hz : kRates_hz)
        for (const double snr_db : snrs_db)
          for (const bool wow : {false, true}) {
            if (kind == Kind::none && at_random) continue;
            const Device cell{.kind = kind, .rate_hz = rate_hz, .snr_db = snr_db, .wow = wow, .at_random = at_random};
            play_cell(cell, count, each, chance, all, by_kind);
          }
  for (std::size_t i = 0; i < kKinds.size(); ++i) print(kKindNames[i], by_kind[i]);
  print("all", all);
  const Tally& healthy = by_kind[static_cast<std::size_t>(Kind::none)];
  const bool heard = healthy.rows > 0 && 10 * healthy.measured >= 9 * healthy.rows;
  const bool accused = 1000 * healthy.named > healthy.rows;
  std::printf("silently wrong: %ld devices (none); healthy: %s, %s\n", all.silent_devices,
              heard ? "measured" : "NOT measured", accused ? "ACCUSED" : "not accused");
  return all.silent_devices == 0 && heard && !accused ? 0 : 1;
}

}  // namespace
}  // namespace four76::bench

int main(int count, char** words) {
  bool each = false;
  std::vector<double> snrs_db;
  for (int i = 1; i < count; ++i) {
    each = each || std::strcmp(words[i], "--each") == 0;
    if (std::strcmp(words[i], "--snr") == 0 && i + 1 < count) snrs_db.push_back(std::atof(words[i + 1]));
  }
  if (snrs_db.empty()) snrs_db = {30.0, 60.0};
  const auto seed = count > 1 ? std::strtoull(words[1], nullptr, 10) : 1;
  return four76::bench::run(seed, count > 2 ? std::atoi(words[2]) : 4, each, snrs_db);
}
