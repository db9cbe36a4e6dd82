#include "core/tapes/lines/hum_lines.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/signal/filters.hpp"
#include "core/song/rate_changer.hpp"
#include "core/tapes/lines/steady_lines.hpp"

namespace four76 {

namespace {

constexpr double kTau = 2.0 * std::numbers::pi;
constexpr std::size_t kDecimation = 6;
constexpr double kRate_hz = kSongRate_hz / kDecimation;
constexpr std::size_t kMovementEvery = 32;  // samples for which one speed holds: 16 ms
constexpr double kBinWidth_hz = kRate_hz / 32768.0;
constexpr double kPass_hz = 440.0;  // the eighth harmonic of 50 Hz, 8 % fast
constexpr double kTop_hz = 440.0;
constexpr std::array kGrids_hz = {50.0, 60.0};
constexpr double kMaxWait_s = 2.0;      // for the movement; the ring keeps 16 s more than a stretch
constexpr double kGridSpread = 0.0015;  // 0.1 % (ENTSO-E, from memory) and our own resolution
constexpr double kGridSpread_percent = 0.1;
constexpr std::size_t kAtGridSteps = 9;       // of the speeds looked at there: 0.45 %
constexpr double kResolution_percent = 0.02;  // derived: a third of a speed's step
constexpr double kNotTold = 0.0025;           // off the grid's frequency by less: it may be the machine's own
constexpr float kMachinesOverFloor = 2.0F;    // so far above the floor a line is worth taking out
constexpr float kLineOverFloor =
    12.0F;                         // tuned: tape_line_scenes 1 12 hum; of 8 and 12 this parts hum from notes better
constexpr float kMaxScore = 6.0F;  // so that one harmonic in one stretch decides nothing

// How much of a stretch is new: Hann's windows that overlap by half are taken as independent.
constexpr float kNewPart = 0.25F;
constexpr std::size_t kSecond = 2048;  // samples: as long as notes are short

constexpr double kMinStretches = 5.0;  // 24.6 s
constexpr int kMinHarmonics = 3;
// Evidence at which a comb is as likely a hum as not, after seven stretches and after very many, and its e-fold.
// Tuned: tape_line_scenes 1 12 hum, of 31 and 180 s. A hum at -30 dB adds 6 to 11 a stretch, one bass note struck again
// and again 4, music 2; sums keep 11/12 of themselves.
constexpr double kHalfSureSoon = 30.0, kHalfSureLate = 48.0, kSurer = 2.5, kSoonStretches = 7.0, kLateStretches = 12.0;
// By how much the tape's time must be the better one, where a comb stands at the grid's frequency. Tuned as above.
constexpr double kHalfSureAtGrid = 15.0;
constexpr double kWorthSaying = 0.1;  // what is less likely than this is not handed out
constexpr double kSure = 0.9;         // what is likelier is kept

double on_tape(const CombFollower::Comb& comb) noexcept {
  if (comb.stretches < kMinStretches || comb.harmonics < kMinHarmonics) return 0.0;
  const double later = std::exp(-std::max(0.0, comb.stretches - kSoonStretches) / kLateStretches);
  const double half_sure = std::lerp(kHalfSureLate, kHalfSureSoon, later);
  return 1.0 / (1.0 + std::exp(-(comb.evidence - half_sure) / kSurer));
}

}  // namespace

HumLines::HumLines()
    : stretch_fft_(kStretch),
      second_fft_(kSecond),
      back_fft_(kSecond),
      ring_(kRoom),
      stretch_(kStretch),
      warped_(kStretch),
      windowed_(kStretch),
      window_(kStretch),
      even_(kStretch),
      power_(kStretch / 2 + 1),
      short_frame_(kSecond),
      movement_(static_cast<double>(kStretch) / kRate_hz + kMaxWait_s + 3.0),
      scores_(CombFollower::kSpeeds) {
  for (const double tap : design_lowpass({kSongRate_hz, kPass_hz, kRate_hz - kPass_hz, 70.0}))
    taps_.push_back(static_cast<float>(tap));
  input_.assign(taps_.size(), 0.0F);
  for (std::size_t n = 0; n < kStretch; ++n)
    window_[n] = static_cast<float>(0.5 - 0.5 * std::cos(kTau * (static_cast<double>(n) + 0.5) / kStretch));
}

void HumLines::process(std::span<const float> samples) noexcept {
  for (const float sample : samples) {
    input_[input_next_] = std::isfinite(sample) ? sample : 0.0F;
    input_next_ = (input_next_ + 1) % input_.size();
    if (until_output_ > 0) {
      --until_output_;
      continue;
    }
    until_output_ = kDecimation - 1;
    float sum = 0.0F;
    for (std::size_t k = 0, at = input_next_; k < taps_.size(); ++k) {
      sum += taps_[k] * input_[at];
      if (++at == input_.size()) at = 0;
    }
    ring_[count_++ % kRoom] = sum;
    if (count_ % 64 == 0) take_stretches();
  }
}

void HumLines::moved(const MovementPoint& point) noexcept { movement_.push(point); }

void HumLines::take_stretches() noexcept {
  const double delay_s = 0.5 * static_cast<double>(taps_.size() - 1) / kSongRate_hz;
  while (count_ >= next_stretch_ + kStretch) {
    const double from_s = static_cast<double>(next_stretch_) / kRate_hz - delay_s;
    const double to_s = from_s + static_cast<double>(kStretch) / kRate_hz;
    const bool known = movement_.newest_s() && *movement_.newest_s() >= to_s;
    if (!known && static_cast<double>(count_) / kRate_hz < to_s + kMaxWait_s) return;
    take_stretch();
    next_stretch_ += kHop;
  }
}

void HumLines::take_stretch() noexcept {
  for (std::size_t n = 0; n < kStretch; ++n) stretch_[n] = ring_[(next_stretch_ + n) % kRoom];
  const double delay_s = 0.5 * static_cast<double>(taps_.size() - 1) / kSongRate_hz;
  const double middle_s =
      (static_cast<double>(next_stretch_) + 0.5 * static_cast<double>(kStretch)) / kRate_hz - delay_s;
  // Where the movement is not known, MovementCourse holds its last value: none.
  find_mean_movement(middle_s);
  compare_at_the_grid(middle_s);
  for (const double grid_hz : kGrids_hz) take_machines_hum_out(grid_hz);
  bring_to_tapes_time(middle_s);
  make_all_even(warped_);
  find_power(even_);
  for (std::size_t i = 0; i < kGrids_hz.size(); ++i) {
    score(kGrids_hz[i], CombFollower::kSpeeds / 2);
    followers_[i].take(scores_, mean_movement_ - previous_mean_);
  }
  keep_what_is_sure();
}

void HumLines::compare_at_the_grid(double middle_s) noexcept {
  make_all_even(stretch_);
  find_power(even_);
  for (std::size_t i = 0; i < kGrids_hz.size(); ++i) {
    score(kGrids_hz[i], kAtGridSteps);
    at_grid_in_ours_[i].take(scores_, 0.0);
  }
  bring_to_tapes_time(middle_s);
  make_all_even(warped_);
  find_power(even_);
  for (std::size_t i = 0; i < kGrids_hz.size(); ++i) {
    score(kGrids_hz[i], kAtGridSteps);
    at_grid_in_tapes_time_[i].take(scores_, mean_movement_ - previous_mean_);
  }
}

// Finds the comb that stands at the grid's frequency in the listener's time, and takes out its harmonics.
void HumLines::take_machines_hum_out(double grid_hz) noexcept {
  find_power(stretch_);
  constexpr int kTries = 31;
  double best_hz = grid_hz, best = -1.0;
  std::array<float, CombFollower::kHarmonics> floors{};
  std::size_t count = 0;
  for (std::size_t h = 1; h <= floors.size() && static_cast<double>(h) * grid_hz < kTop_hz; ++h, ++count)
    floors[h - 1] = floor_beside(power_, std::lround(static_cast<double>(h) * grid_hz / kBinWidth_hz));
  const auto over_floor = [&](std::size_t h, double hz) {
    const double at = static_cast<double>(h) * hz / kBinWidth_hz;
    const auto below = static_cast<std::size_t>(at);
    return std::lerp(power_[below], power_[below + 1], static_cast<float>(at - std::floor(at))) / floors[h - 1];
  };
  // Coarse, then fine about the best: 0.002 %, which leaves a tenth of a radian at the ends of the eighth harmonic.
  double reach = kGridSpread, middle_hz = grid_hz;
  for (int pass = 0; pass < 2; ++pass, reach *= 2.0 / (kTries - 1), middle_hz = best_hz)
    for (int i = 0; i < kTries; ++i) {
      const double hz = middle_hz * (1.0 + reach * (2.0 * i / (kTries - 1) - 1.0));
      double sum = 0.0;
      for (std::size_t h = 1; h <= count; ++h) sum += std::log1p(static_cast<double>(over_floor(h, hz)));
      if (sum > best) {
        best = sum;
        best_hz = hz;
      }
    }
  for (std::size_t h = 1; h <= count; ++h)
    if (over_floor(h, best_hz) > kMachinesOverFloor)
      take_line_out(stretch_, window_, static_cast<double>(h) * best_hz / kRate_hz);
}

// Under Hann's window, as the spectrum weighs it.
void HumLines::find_mean_movement(double middle_s) noexcept {
  double sum = 0.0, weight = 0.0;
  for (std::size_t n = kMovementEvery / 2; n < kStretch; n += kMovementEvery) {
    const double w = static_cast<double>(window_[n]);
    sum += w * movement_.at(middle_s + (static_cast<double>(n) - 0.5 * static_cast<double>(kStretch)) / kRate_hz);
    weight += w;
  }
  previous_mean_ = mean_movement_;
  mean_movement_ = sum / weight;
}

// Sample n of the result lies at an even step of the tape's time; the middles of both coincide. The mean movement is
// kept.
void HumLines::bring_to_tapes_time(double middle_s) noexcept {
  constexpr std::size_t kHalf = kStretch / 2;
  const auto read = [&](double at) {
    const double low = std::clamp(at, 1.0, static_cast<double>(kStretch) - 3.0);
    const auto k = static_cast<std::size_t>(low);
    const auto x = static_cast<float>(low - static_cast<double>(k));
    const float a = stretch_[k - 1], b = stretch_[k], c = stretch_[k + 1], d = stretch_[k + 2];
    return b + 0.5F * x * (c - a + x * (2.0F * a - 5.0F * b + 4.0F * c - d + x * (3.0F * (b - c) + d - a)));
  };
  for (const int side : {1, -1}) {
    double at = static_cast<double>(kHalf), step = 1.0;
    for (std::size_t n = 0; n < kHalf; ++n) {
      if (n % kMovementEvery == 0) {
        const double time_s = middle_s + (at - static_cast<double>(kHalf) + side * 0.5 * kMovementEvery) / kRate_hz;
        step = std::exp(mean_movement_ - movement_.at(time_s));
      }
      if (side > 0) {
        warped_[kHalf + n] = read(at);
        at += step;
      } else {
        at -= step;
        warped_[kHalf - 1 - n] = read(at);
      }
    }
  }
}

// Windows that overlap by half, Hann's root ahead of the transform and after it, so that they add up to 1.
void HumLines::make_all_even(std::span<const float> samples) noexcept {
  constexpr std::size_t kBins = kSecond / 2;
  const auto root = [&](std::size_t n) { return std::sqrt(window_[n * (kStretch / kSecond)]); };
  std::fill(even_.begin(), even_.end(), 0.0F);
  for (std::size_t from = 0; from + kSecond <= kStretch; from += kSecond / 2) {
    for (std::size_t n = 0; n < kSecond; ++n) windowed_[n] = root(n) * samples[from + n];
    const auto bins = second_fft_.transform(std::span<const float>(windowed_).first(kSecond));
    // The inverse transform, as the forward one of the conjugates.
    std::fill(short_frame_.begin(), short_frame_.end(), std::complex<float>{});
    for (std::size_t k = 1; k < kBins; ++k) short_frame_[k] = std::conj(bins[k]) / std::max(1e-20F, std::abs(bins[k]));
    const auto back = back_fft_.transform(short_frame_);
    for (std::size_t n = 0; n < kSecond; ++n) even_[from + n] += root(n) * back[n].real();
  }
}

void HumLines::find_power(std::span<const float> samples) noexcept {
  for (std::size_t n = 0; n < kStretch; ++n) windowed_[n] = window_[n] * samples[n];
  const auto bins = stretch_fft_.transform(windowed_);
  for (std::size_t k = 0; k < bins.size(); ++k) power_[k] = std::norm(bins[k]);
}

void HumLines::score(double grid_hz, std::size_t reach) noexcept {
  static const float absent = std::log1p(kLineOverFloor);
  constexpr std::size_t kMiddle = CombFollower::kSpeeds / 2;
  for (auto& of_harmonics : scores_) of_harmonics.fill(-kNewPart * absent);
  for (std::size_t h = 1; h <= CombFollower::kHarmonics; ++h) {
    std::ptrdiff_t floor_bin = -1;
    float floor = 1.0F;
    for (std::size_t k = kMiddle - reach; k <= kMiddle + reach; ++k) {
      const double hz = static_cast<double>(h) * grid_hz * std::exp(CombFollower::log_speed(static_cast<double>(k)));
      if (hz > kTop_hz) {
        scores_[k][h - 1] = 0.0F;
        continue;
      }
      const double at = hz / kBinWidth_hz;
      const auto below = static_cast<std::size_t>(at);
      if (const auto nearest = std::lround(at); nearest != floor_bin) {
        floor_bin = nearest;
        floor = floor_beside(power_, floor_bin);
      }
      const float over = std::lerp(power_[below], power_[below + 1], static_cast<float>(at - std::floor(at))) / floor;
      scores_[k][h - 1] = kNewPart * std::min(kMaxScore, over * kLineOverFloor / (1.0F + kLineOverFloor) - absent);
    }
  }
}

std::optional<HumLines::Kept> HumLines::likeliest(std::size_t grid) const noexcept {
  std::optional<Kept> likeliest;
  if (const auto comb = followers_[grid].best(kNotTold)) likeliest = Kept{grid, *comb, on_tape(*comb)};
  const auto tapes = at_grid_in_tapes_time_[grid].best(0.0, kNotTold);
  const auto ours = at_grid_in_ours_[grid].best(0.0, kNotTold);
  if (!tapes) return likeliest;
  const double more = tapes->evidence - (ours ? ours->evidence : 0.0);
  const double is_tapes = on_tape(*tapes) / (1.0 + std::exp(-(more - kHalfSureAtGrid) / kSurer));
  if (!likeliest || is_tapes > likeliest->on_tape) likeliest = Kept{grid, *tapes, is_tapes};
  return likeliest;
}

// What was once sure stays, until something else is: a hum need not last through the whole tape.
void HumLines::keep_what_is_sure() noexcept {
  for (std::size_t i = 0; i < kGrids_hz.size(); ++i)
    if (const auto now = likeliest(i); now && now->on_tape > kSure) kept_ = now;
}

std::vector<Evidence> HumLines::found() const {
  std::optional<Kept> best = kept_;
  for (std::size_t i = 0; i < kGrids_hz.size(); ++i)
    if (const auto now = likeliest(i); now && (!best || now->on_tape > best->on_tape)) best = now;
  if (!best || best->on_tape < kWorthSaying) return {};
  const CombFollower::Comb& comb = best->comb;
  const double grid_hz = kGrids_hz[best->grid];
  const double random_percent = 100.0 * 2.0 * comb.deviation / std::sqrt(std::max(1.0, kNewPart * comb.stretches));
  return {{EvidenceKind::mains_hum, grid_hz, grid_hz * std::exp(comb.log_speed),
           std::hypot(random_percent, kResolution_percent) + kGridSpread_percent, best->on_tape}};
}

}  // namespace four76
