#include "core/song/song_rates.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/sort_few.hpp"

namespace four76 {
namespace {
constexpr std::size_t kLeast = 4;        // windows
constexpr double kLeastShare = 0.7;      // of those that have a rate
constexpr double kAgree = 0.0015;        // a portable's wow over some tenths of a second
constexpr double kLeastSigma = 0.0003;   // of a window: twice what a band is read to (seen)
constexpr double kIndependent_s = 0.17;  // windows overlap: the half points of Hann's
}  // namespace

void SongRates::add(const SongRate& rate) noexcept {
  if (count_ == kMost) {
    std::copy(rates_.begin() + 1, rates_.end(), rates_.begin());
    --count_;
  }
  rates_[count_++] = rate;
}

std::optional<SongRates::Agreed> SongRates::agreed(double from_s) const noexcept {
  std::array<double, kMost> speeds;
  std::size_t heard = 0;
  for (std::size_t i = 0; i < count_; ++i)
    if (rates_[i].tape_s >= from_s) speeds[heard++] = rates_[i].speed;
  if (heard < kLeast) return std::nullopt;
  const auto end = speeds.begin() + static_cast<std::ptrdiff_t>(heard);
  sort_few(speeds.begin(), end, [](double a, double b) { return a < b; });
  const double middle = speeds[heard / 2];
  Agreed agreed{.from_s = rates_[count_ - 1].tape_s};
  double sum = 0.0, squares = 0.0, weights = 0.0;
  std::size_t windows = 0;
  for (std::size_t i = 0; i < count_; ++i) {
    const SongRate& rate = rates_[i];
    const double off = rate.speed - middle;
    if (rate.tape_s < from_s || std::abs(off) > kAgree) continue;
    const double weight = 1.0 / (rate.sigma * rate.sigma + kLeastSigma * kLeastSigma);
    sum += weight * off;
    squares += weight * off * off;
    weights += weight;
    agreed.from_s = std::min(agreed.from_s, rate.tape_s);
    agreed.to_s = rate.tape_s;
    ++windows;
  }
  if (windows < kLeast || static_cast<double>(windows) < kLeastShare * static_cast<double>(heard)) return std::nullopt;
  const double mean = sum / weights;
  const double spread = std::max(0.0, squares / weights - mean * mean);
  const double independent = 1.0 + (agreed.to_s - agreed.from_s) / kIndependent_s;
  agreed.speed = middle + mean;
  agreed.u95 = 1.96 * std::sqrt((spread + kLeastSigma * kLeastSigma) / independent);
  return agreed;
}

}  // namespace four76
