#include "core/song/song_lock.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace four76 {
namespace {
constexpr double kSilent = 1e-8;           // mean square: -80 dBFS
constexpr double kReach_s = 0.060;         // twice what the search may be off by
constexpr double kLocalSpeedStep = 0.002;  // the search's own steps lie 0.5 % apart
constexpr double kSlopeStep = 0.001;       // of the paths
constexpr int kSlopes = 6;                 // to either side
constexpr double kMostZ = 14.0;            // more does not make a peak more likely
constexpr double kWander_s = 0.0006;       // 0.2 % of wow over the time between two windows
constexpr std::size_t kMostSkipped = 4;    // windows without a peak on the path
constexpr double kElsewhere_s = 0.001;     // half the period of most notes
constexpr std::size_t kLeastWindows = 7;
constexpr double kBelieved = 1.5;
constexpr double kBeyondDoubt = 5.0;
constexpr double kLate_s = 2.0;
constexpr int kLeastLate = 3;
constexpr double kBothBelieved = 0.35;
constexpr double kLikely = 0.7;  // wrong places: below -1
}  // namespace

void SongLock::begin(double end_s, double place_s, double speed, double agreement) noexcept {
  end_s_ = end_s;
  place_s_ = place_s;
  speed_ = speed;
  agreement_ = agreement;
  next_ = 0;
  count_ = 0;
}

bool SongLock::advance(SongWindow& window, std::span<const float> sound, double from_s) noexcept {
  const double middle_s =
      end_s_ - 0.5 * PhaseCorrelator::kWindow_s - kApart_s * static_cast<double>(kWindows - 1 - next_);
  if (middle_s - from_s >= 0.5 * PhaseCorrelator::kWindow_s && window.set_tape(sound, from_s, middle_s) &&
      window.power() > kSilent) {
    Window& here = windows_[count_];
    here.tape_s = window.middle_s();
    here.count = 0;
    for (int step = -kLocalSpeeds; step <= kLocalSpeeds; ++step)
      for (const SongPeak& peak : window.peaks(base_s(here.tape_s), speed_ * (1.0 + step * kLocalSpeedStep), kReach_s))
        here.guesses[here.count++] = {peak.place_s - base_s(here.tape_s), peak.z, step, peak.inverted};
    if (here.count > 0) ++count_;
  }
  return ++next_ >= kWindows;
}

// The cheapest way through the windows for one slope and polarity; `other` is the best that ends elsewhere.
void SongLock::walk(int slope_step, bool inverted, Path& best, double& other) const noexcept {
  struct State {
    double score = 0.0;
    std::size_t before = 0;  // the window of the point before, and which of its guesses
    int from = -1;
    bool usable = false;
  };
  std::array<std::array<State, std::tuple_size_v<decltype(Window::guesses)>>, kWindows> states{};
  const double slope = slope_step * kSlopeStep * speed_;
  for (std::size_t k = 0; k < count_; ++k) {
    const Window& here = windows_[k];
    for (std::size_t i = 0; i < here.count; ++i) {
      const Guess& guess = here.guesses[i];
      State& state = states[k][i];
      state.usable = guess.inverted == inverted &&
                     std::abs(guess.step * kLocalSpeedStep - slope_step * kSlopeStep) < 1.1 * kSlopeStep;
      if (!state.usable) continue;
      double highest = 0.0;
      for (std::size_t back = 1; back <= std::min(k, kMostSkipped + 1); ++back) {
        const Window& before = windows_[k - back];
        const double since_s = here.tape_s - before.tape_s;
        for (std::size_t j = 0; j < before.count; ++j) {
          if (!states[k - back][j].usable) continue;
          const double bend = (guess.lead_s - before.guesses[j].lead_s - slope * since_s) / kWander_s;
          const double score = states[k - back][j].score - 0.5 * bend * bend * kApart_s / since_s;
          if (score <= highest) continue;
          highest = score;
          state.before = k - back;
          state.from = static_cast<int>(j);
        }
      }
      state.score = highest + std::min(guess.z, kMostZ);
    }
  }
  // A path may end some windows before the last.
  for (std::size_t k = count_ - std::min(count_, kMostSkipped + 1); k < count_; ++k)
    for (std::size_t i = 0; i < windows_[k].count; ++i) {
      const State& state = states[k][i];
      if (!state.usable) continue;
      const double end_s = windows_[k].guesses[i].lead_s + slope * (windows_[count_ - 1].tape_s - windows_[k].tape_s);
      const double score = state.score / static_cast<double>(count_);
      const bool elsewhere =
          best.count == 0 || best.inverted != inverted || std::abs(end_s - best.end_lead_s) > kElsewhere_s;
      if (best.count > 0 && score <= best.score) {
        if (elsewhere) other = std::max(other, score);
        continue;
      }
      if (best.count > 0 && elsewhere) other = std::max(other, best.score);
      best = {speed_ * (1.0 + slope_step * kSlopeStep), inverted, agreement_, end_s_, score, 0.0, end_s, 0, {}};
      std::size_t window = k;
      for (auto at = static_cast<int>(i); at >= 0;) {
        const Guess& guess = windows_[window].guesses[static_cast<std::size_t>(at)];
        best.points[best.count++] = {windows_[window].tape_s, base_s(windows_[window].tape_s) + guess.lead_s, guess.z};
        const State& here = states[window][static_cast<std::size_t>(at)];
        at = here.from;
        window = here.before;
      }
      std::reverse(best.points.begin(), best.points.begin() + static_cast<std::ptrdiff_t>(best.count));
    }
}

SongLock::Path SongLock::best_path() const noexcept {
  Path best;
  if (count_ < kLeastWindows) return best;
  double other = 0.0;
  for (int step = -kSlopes; step <= kSlopes; ++step)
    for (const bool inverted : {false, true}) walk(step, inverted, best, other);
  best.margin = (best.score - other) * static_cast<double>(count_);
  return best;
}

// Seen in 12 manners of music: the right place 3 to 14, another song 2.6 at most, another pattern of the same drum
// machine 4.0; their products with the agreement 0.5 and more, 0.19 at most (four76_song_live).
bool SongLock::Path::is_believed() const noexcept {
  if (!is_likely()) return false;
  const auto late = std::count_if(points.begin(), points.begin() + static_cast<std::ptrdiff_t>(count),
                                  [&](const SongPoint& point) { return point.tape_s > end_s - kLate_s; });
  if (late < kLeastLate) return false;  // the tape ran so, and was turned since
  return score > kBeyondDoubt || (score > kBelieved && score * (agreement - 0.5) > kBothBelieved);
}

bool SongLock::Path::is_likely() const noexcept { return count >= kLeastWindows && score > kLikely; }

}  // namespace four76
