#include "core/song/delay_track.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/signal/statistics.hpp"

namespace four76 {
namespace {
constexpr double kFirstReach_s = 0.060;     // twice what the search may be off by
constexpr int kLocalSpeeds = 4;             // to either side
constexpr double kLocalSpeedStep = 0.0015;  // 0.6 % in all: wow of a worn portable
constexpr double kMostZ = 14.0;             // more does not make a peak more likely
constexpr double kWander_s = 0.0005;        // the lead's change between two windows under 0.3 % wow (derived)
constexpr double kMostJumpCost = 10.0;      // a jump costs no more: edits exist
constexpr double kEdit_s = 0.006;           // more than wow moves the lead by within some tenths of a second
constexpr double kSilent = 1e-4;            // of the louder windows' power: -40 dB
constexpr double kLeastZ = 5.5;         // chance among the 700 lags and nine speeds tried: one in a thousand (derived)
constexpr double kLeastZOnTrack = 3.5;  // once it must be the strongest of all and where it is expected as well
constexpr double kOnTrack_s = 0.0007;   // three samples' worth of 5 kHz: what reverberation may move a peak by

// The lead at a time, between the points of the same piece.
double lead_at(const DelayPath& path, double tape_s, int piece) noexcept {
  const auto last = static_cast<std::ptrdiff_t>(path.points.size()) - 1;
  const double at = (tape_s - path.points.front().tape_s) / DelayTrack::kStep_s;
  auto low = std::clamp<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(std::floor(at)), 0, last);
  auto high = std::min(low + 1, last);
  const double share = std::clamp(at - static_cast<double>(low), 0.0, 1.0);
  while (low < last && path.points[static_cast<std::size_t>(low)].piece < piece) ++low;
  while (high > 0 && path.points[static_cast<std::size_t>(high)].piece > piece) --high;
  while (high < last && path.points[static_cast<std::size_t>(high)].piece < piece) ++high;
  while (low > 0 && path.points[static_cast<std::size_t>(low)].piece > piece) --low;
  const double a = path.points[static_cast<std::size_t>(low)].lead_s;
  return a + share * (path.points[static_cast<std::size_t>(high)].lead_s - a);
}

double middle_lead(const DelayPath& path, std::size_t at, std::size_t reach) {
  std::vector<double> near;
  const std::size_t from = at > reach ? at - reach : 0;
  const std::size_t to = std::min(path.points.size(), at + reach + 1);
  for (std::size_t i = from; i < to; ++i)
    if (path.points[i].held && path.points[i].piece == path.points[at].piece) near.push_back(path.points[i].lead_s);
  return near.empty() ? path.points[at].lead_s : median_of(near);
}

// Points that lie off their neighbours' are let go.
void drop_strays(DelayPath& path, std::size_t reach, double most_s) {
  std::vector<bool> stray(path.points.size());
  for (std::size_t i = 0; i < path.points.size(); ++i)
    stray[i] = std::abs(path.points[i].lead_s - middle_lead(path, i, reach)) > most_s;
  for (std::size_t i = 0; i < path.points.size(); ++i)
    if (stray[i]) path.points[i].held = false;
}

// Takes the middle slope between points five seconds apart out of the leads, into the speed.
void straighten(DelayPath& path) {
  constexpr std::size_t kApart = 25;
  std::vector<double> slopes;
  for (std::size_t i = 0; i + kApart < path.points.size(); ++i) {
    const DelayPoint& a = path.points[i];
    const DelayPoint& b = path.points[i + kApart];
    if (a.held && b.held) slopes.push_back((b.lead_s - a.lead_s) / (b.tape_s - a.tape_s));
  }
  if (slopes.empty()) return;
  const double slope = median_of(slopes);
  path.speed += slope;
  for (DelayPoint& point : path.points) point.lead_s -= slope * point.tape_s;
}

// A new piece begins where the lead of held points jumps for good.
void find_pieces(DelayPath& path) {
  int piece = 0;
  const DelayPoint* before = nullptr;
  for (DelayPoint& point : path.points) {
    if (point.held) {
      if (before && std::abs(point.lead_s - before->lead_s) > kEdit_s) ++piece;
      before = &point;
    }
    point.piece = piece;
  }
}

// What is not held lies on the line between its held neighbours.
void bridge(DelayPath& path) {
  const std::size_t count = path.points.size();
  for (std::size_t i = 0; i < count; ++i) {
    DelayPoint& point = path.points[i];
    if (point.held) continue;
    std::size_t low = i;
    std::size_t high = i;
    while (low > 0 && !path.points[low].held) --low;
    while (high + 1 < count && !path.points[high].held) ++high;
    const auto usable = [&](std::size_t k) { return path.points[k].held && path.points[k].piece == point.piece; };
    if (usable(low) && usable(high)) {
      const double share = static_cast<double>(i - low) / static_cast<double>(high - low);
      point.lead_s = path.points[low].lead_s + share * (path.points[high].lead_s - path.points[low].lead_s);
    } else if (usable(low)) {
      point.lead_s = path.points[low].lead_s;
    } else if (usable(high)) {
      point.lead_s = path.points[high].lead_s;
    }
  }
}

// One, two, one: keeps what the windows' overlap lets through and calms their scatter.
void smooth(DelayPath& path) {
  std::vector<double> leads;
  for (const DelayPoint& point : path.points) leads.push_back(point.lead_s);
  for (std::size_t i = 1; i + 1 < leads.size(); ++i)
    if (path.points[i - 1].piece == path.points[i + 1].piece)
      path.points[i].lead_s = 0.25 * leads[i - 1] + 0.5 * leads[i] + 0.25 * leads[i + 1];
}
}  // namespace

DelayTrack::DelayTrack(std::span<const float> reference, std::span<const float> tape)
    : reference_(reference), tape_(tape) {
  std::vector<double> powers;
  const double end_s = static_cast<double>(tape.size()) / kSongRate_hz;
  for (double at = 0.5 * PhaseCorrelator::kWindow_s; at < end_s; at += 2.0 * PhaseCorrelator::kWindow_s) {
    correlator_.set_tape(tape_, at);
    powers.push_back(correlator_.tape_power());
  }
  if (!powers.empty()) loud_power_ = median_of(powers);
}

void DelayTrack::read_reference(double middle_s, double lead_s, double speed, double local_speed) noexcept {
  const std::span<float> out = correlator_.reference();
  const double middle = (speed * middle_s + lead_s) * kSongRate_hz;
  const auto half = static_cast<double>(out.size() / 2);
  for (std::size_t n = 0; n < out.size(); ++n)
    out[n] = table_.at(reference_, middle + (static_cast<double>(n) - half) * local_speed);
}

void DelayTrack::read_reference(const DelayPath& path, const DelayPoint& point) noexcept {
  const std::span<float> out = correlator_.reference();
  constexpr std::size_t kRun = 256;  // the lead is a straight line over so many samples: 21 ms
  const double first_s = std::round(point.tape_s * kSongRate_hz) / kSongRate_hz - 0.5 * PhaseCorrelator::kWindow_s;
  for (std::size_t n = 0; n < out.size(); n += kRun) {
    const double from_s = first_s + static_cast<double>(n) / kSongRate_hz;
    const double to_s = from_s + static_cast<double>(kRun) / kSongRate_hz;
    const double from = (path.speed * from_s + lead_at(path, from_s, point.piece)) * kSongRate_hz;
    const double to = (path.speed * to_s + lead_at(path, to_s, point.piece)) * kSongRate_hz;
    const double step = (to - from) / static_cast<double>(kRun);
    for (std::size_t i = 0; i < kRun; ++i) out[n + i] = table_.at(reference_, from + static_cast<double>(i) * step);
  }
}

DelayTrack::Guesses DelayTrack::guesses_at(double tape_s, std::span<const SongPlace> places, double speed) {
  Guesses guesses;
  if (!correlator_.set_tape(tape_, tape_s) || correlator_.tape_power() < kSilent * loud_power_) return guesses;
  std::array<DelayPeak, 2 * PhaseCorrelator::kPeaks> peaks;
  const double middle_s = std::round(tape_s * kSongRate_hz) / kSongRate_hz;
  for (const SongPlace& place : places) {
    const double lead_s = place.start_s + (place.speed - speed) * middle_s;
    for (int step = -kLocalSpeeds; step <= kLocalSpeeds; ++step) {
      const double local = place.speed * (1.0 + step * kLocalSpeedStep);
      read_reference(middle_s, lead_s, speed, local);
      const std::size_t count = correlator_.correlate(kFirstReach_s, peaks);
      for (std::size_t i = 0; i < count; ++i)
        guesses.push_back({lead_s + local * peaks[i].delay_s, peaks[i].z, peaks[i].inverted});
    }
  }
  return guesses;
}

void DelayTrack::first_pass(std::span<const SongPlace> places, DelayPath& path) {
  std::vector<Guesses> all;
  double upright = 0.0;
  for (const DelayPoint& point : path.points) {
    all.push_back(guesses_at(point.tape_s, places, path.speed));
    double best = 0.0;
    for (const Guess& guess : all.back())
      if (guess.z > std::abs(best)) best = guess.inverted ? -guess.z : guess.z;
    upright += std::abs(best) > kLeastZ ? best : 0.0;
  }
  path.inverted = upright < 0.0;
  // The cheapest way through, by dynamic programming.
  struct State {
    double cost;
    int from;
  };
  std::vector<std::vector<State>> states(all.size());
  std::size_t last = all.size();
  std::vector<std::size_t> previous(all.size(), all.size());
  for (std::size_t k = 0; k < all.size(); ++k) {
    std::erase_if(all[k], [&](const Guess& guess) { return guess.inverted != path.inverted; });
    if (all[k].empty()) continue;
    previous[k] = last;
    for (const Guess& guess : all[k]) {
      State state{last == all.size() ? 0.0 : std::numeric_limits<double>::max(), -1};
      if (last != all.size())
        for (std::size_t j = 0; j < all[last].size(); ++j) {
          const double jump = (guess.lead_s - all[last][j].lead_s) / kWander_s;
          const double cost = states[last][j].cost + std::min(kMostJumpCost, 0.5 * jump * jump);
          if (cost < state.cost) state = {cost, static_cast<int>(j)};
        }
      state.cost -= std::min(guess.z, kMostZ);
      states[k].push_back(state);
    }
    last = k;
  }
  if (last == all.size()) return;
  auto at = static_cast<int>(std::min_element(states[last].begin(), states[last].end(),
                                              [](const State& a, const State& b) { return a.cost < b.cost; }) -
                             states[last].begin());
  for (std::size_t k = last; k != all.size() && at >= 0; k = previous[k]) {
    const auto i = static_cast<std::size_t>(at);
    path.points[k].lead_s = all[k][i].lead_s;
    path.points[k].z = all[k][i].z;
    path.points[k].held = all[k][i].z > kLeastZ;
    at = states[k][i].from;
  }
}

void DelayTrack::next_pass(DelayPath& path, double reach_s, double near_s) {
  std::vector<DelayPoint> next = path.points;
  for (DelayPoint& point : next) {
    point.held = false;
    point.heard = correlator_.set_tape(tape_, point.tape_s) && correlator_.tape_power() >= kSilent * loud_power_;
    if (!point.heard) continue;
    read_reference(path, point);
    const auto peak = correlator_.strongest(reach_s, path.inverted);
    if (!peak) continue;
    point.z = peak->z;
    point.held = peak->z > kLeastZOnTrack && std::abs(peak->delay_s) < near_s;
    if (point.held)
      point.lead_s = path.speed * peak->delay_s + lead_at(path, point.tape_s + peak->delay_s, point.piece);
  }
  path.points = std::move(next);
}

DelayPath DelayTrack::follow(std::span<const SongPlace> places) {
  DelayPath path;
  if (places.empty()) return path;
  path.speed = places.front().speed;
  const double end_s = static_cast<double>(tape_.size()) / kSongRate_hz - 0.5 * PhaseCorrelator::kWindow_s;
  for (double at = 0.5 * PhaseCorrelator::kWindow_s; at < end_s; at += 2.0 * kStep_s)
    path.points.push_back({at, places.front().start_s, 0.0, false, false, 0});
  if (path.points.size() < 10) return {};
  first_pass(places, path);
  straighten(path);
  drop_strays(path, 15, 0.0025);  // a note's period away from its neighbours over three seconds
  find_pieces(path);
  drop_strays(path, 15, 0.0025);
  bridge(path);
  // Twice as many points from here on.
  std::vector<DelayPoint> dense;
  for (std::size_t i = 0; i < path.points.size(); ++i) {
    dense.push_back(path.points[i]);
    DelayPoint between = path.points[i];
    between.tape_s += kStep_s;
    if (i + 1 < path.points.size() && path.points[i + 1].piece == between.piece)
      between.lead_s = 0.5 * (between.lead_s + path.points[i + 1].lead_s);
    if (between.tape_s < end_s) dense.push_back(between);
  }
  path.points = std::move(dense);
  for (const double near_s : {0.003, 0.002, 0.002}) {
    smooth(path);
    next_pass(path, 0.003, near_s);
    drop_strays(path, 5, 0.0025);
    bridge(path);
  }
  smooth(path);
  next_pass(path, 0.030, kOnTrack_s);
  return path;
}

}  // namespace four76
