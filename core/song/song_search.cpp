#include "core/song/song_search.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "core/song/rate_changer.hpp"

namespace four76 {
namespace {
constexpr double kStretch_s = 8.0;
constexpr double kLeastStretch_s = 3.0;
constexpr int kMostStretches = 5;
constexpr double kFineSpeedStep = 0.0005;
constexpr int kFineSteps = 8;              // to either side
constexpr std::ptrdiff_t kFineReach = 12;  // words to either side
constexpr std::size_t kMostPlaces = 8;
constexpr double kMiddle_s = 1024.0 / kSongRate_hz;  // a word stands for the middle of its spectrum, not for its start

bool same_place(const SongPlace& a, const SongPlace& b, double at_s) noexcept {
  return std::abs(a.speed - b.speed) < 0.02 && std::abs(a.start_s - b.start_s + (a.speed - b.speed) * at_s) < 0.35;
}

// Keeps the best of each place, best first.
bool is_likelier(const SongPlace& a, const SongPlace& b) noexcept { return a.agreement > b.agreement; }

void keep(std::vector<SongPlace>& places, const SongPlace& place, double at_s, std::size_t most) {
  for (SongPlace& known : places)
    if (same_place(known, place, at_s)) {
      if (place.agreement > known.agreement) known = place;
      std::sort(places.begin(), places.end(), is_likelier);
      return;
    }
  places.push_back(place);
  std::sort(places.begin(), places.end(), is_likelier);
  if (places.size() > most) places.pop_back();
}

// Agreement of the words laid at an offset, over the part that lies inside; nothing where that is under three seconds.
std::optional<double> laid_at(std::span<const std::uint64_t> reference, std::span<const std::uint64_t> words,
                              std::ptrdiff_t offset, std::size_t stride) noexcept {
  const auto from = static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, -offset));
  const auto at = static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, offset));
  if (from >= words.size() || at >= reference.size()) return std::nullopt;
  const std::size_t count = std::min(words.size() - from, reference.size() - at);
  if (static_cast<double>(count) * kPrintStep_s < kLeastStretch_s) return std::nullopt;
  return agreement(reference.subspan(at, count), words.subspan(from, count), stride);
}
}  // namespace

SongSearch::SongSearch(std::span<const float> reference) {
  SongSpectra spectra(reference);
  const auto words = spectra.words(1.0);
  words_.assign(words.begin(), words.end());
}

double SongSearch::start_correction_s(double speed) noexcept { return kMiddle_s * (1.0 - speed); }

void SongSearch::lay(std::span<const std::uint64_t> words, double speed, double stretch_s,
                     std::vector<SongPlace>& best) const {
  const auto last = static_cast<std::ptrdiff_t>(words_.size());
  for (std::ptrdiff_t offset = 0; offset < last; ++offset) {
    const auto found = laid_at(words_, words, offset, 2);
    if (!found) break;
    if (best.size() == kMostPlaces && *found <= best.back().agreement) continue;
    const double start_s = static_cast<double>(offset) * kPrintStep_s - speed * stretch_s;
    keep(best, {speed, start_s, *found}, stretch_s + 0.5 * kStretch_s, kMostPlaces);
  }
}

SongPlace SongSearch::refined(SongSpectra& tape, const SongPlace& place, double middle_s) const {
  SongPlace best = place;
  best.agreement = 0.0;
  for (int step = -kFineSteps; step <= kFineSteps; ++step) {
    const double speed = place.speed + step * kFineSpeedStep;
    const auto words = tape.words(speed);
    const double start_s = place.start_s + (place.speed - speed) * middle_s;
    const auto centre = static_cast<std::ptrdiff_t>(std::lround(start_s / kPrintStep_s));
    for (std::ptrdiff_t offset = centre - kFineReach; offset <= centre + kFineReach; ++offset) {
      const auto found = laid_at(words_, words, offset, 1);
      if (found && *found > best.agreement) best = {speed, static_cast<double>(offset) * kPrintStep_s, *found};
    }
  }
  return best;
}

std::vector<SongPlace> SongSearch::find(std::span<const float> tape) const {
  const double tape_s = static_cast<double>(tape.size()) / kSongRate_hz;
  SongSpectra spectra(tape);
  const int stretches = std::clamp(static_cast<int>(tape_s / kStretch_s), 1, kMostStretches);
  std::vector<std::vector<SongPlace>> best(static_cast<std::size_t>(stretches));
  for (int step = -kSpeedSteps; step <= kSpeedSteps; ++step) {
    const double speed = 1.0 + step * kSpeedStep;
    const auto words = spectra.words(speed);
    const std::size_t length = std::min(words.size(), static_cast<std::size_t>(kStretch_s * speed / kPrintStep_s));
    for (int i = 0; i < stretches; ++i) {
      const std::size_t at = stretches == 1 ? 0
                                            : (words.size() - length) * static_cast<std::size_t>(i) /
                                                  static_cast<std::size_t>(stretches - 1);
      lay(words.subspan(at, length), speed, static_cast<double>(at) * kPrintStep_s / speed,
          best[static_cast<std::size_t>(i)]);
    }
  }
  std::vector<SongPlace> rough;
  for (std::size_t i = 0; i < best.size(); ++i)
    for (std::size_t j = 0; j < std::min<std::size_t>(3, best[i].size()); ++j) rough.push_back(best[i][j]);
  std::vector<SongPlace> places;
  for (const SongPlace& place : rough) {
    // The stretch that found it fixes the place best near its own middle; any point of the tape is within reach.
    keep(places, refined(spectra, place, 0.5 * tape_s), 0.5 * tape_s, kMostPlaces);
  }
  for (SongPlace& place : places) place.start_s += start_correction_s(place.speed);
  return places;
}

SongPlace SongSearch::place_stretch(std::span<const float> stretch, double speed) const {
  SongPlace best{speed, 0.0, 0.0};
  SongSpectra spectra(stretch);
  const auto words = spectra.words(speed);
  for (std::ptrdiff_t offset = -static_cast<std::ptrdiff_t>(words.size());
       offset < static_cast<std::ptrdiff_t>(words_.size()); ++offset) {
    const auto found = laid_at(words_, words, offset, 1);
    if (found && *found > best.agreement) best = {speed, static_cast<double>(offset) * kPrintStep_s, *found};
  }
  best.start_s += start_correction_s(speed);
  return best;
}

}  // namespace four76
