#include "core/song/song_search.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "core/signal/spectrum.hpp"
#include "core/song/rate_changer.hpp"

namespace four76 {
namespace {
constexpr double kStretch_s = 8.0;
constexpr double kLeastStretch_s = 3.0;
constexpr int kMostStretches = 5;
constexpr std::ptrdiff_t kFineReach = 12;  // words to either side: half a second
constexpr double kMostOff = 0.006;         // of the speed: the search steps by 0.5 %
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

SongCourse SongSearch::course_about(SongSpectra& tape, const SongPlace& place, std::optional<double> found_s) const {
  const auto words = tape.words(place.speed);
  const double step_s = kPrintStep_s / place.speed;  // of tape
  const auto length = std::min(words.size(), static_cast<std::size_t>(kCourseStretch_s / step_s));
  const auto hop = static_cast<std::size_t>(kCourseHop_s / step_s);
  std::vector<LaidStretch> stretches;
  for (std::size_t first = 0; first + length <= words.size(); first += hop) {
    const double first_s = static_cast<double>(first) * step_s;
    const auto stretch = words.subspan(first, length);
    auto from = -static_cast<std::ptrdiff_t>(length);
    auto to = static_cast<std::ptrdiff_t>(words_.size());
    if (found_s) {
      const auto centre =
          static_cast<std::ptrdiff_t>(std::lround((place.start_s + place.speed * first_s) / kPrintStep_s));
      const auto reach =
          kFineReach + static_cast<std::ptrdiff_t>(kMostOff * std::abs(first_s - *found_s) / kPrintStep_s);
      from = centre - reach;
      to = centre + reach + 1;
    }
    double best = 0.0;
    std::ptrdiff_t best_offset = 0;
    for (std::ptrdiff_t offset = from; offset < to; ++offset) {
      const auto found = laid_at(words_, stretch, offset, 1);
      if (found && *found > best) best = *found, best_offset = offset;
    }
    // Spectra overlap by three quarters: the nearer the place lies to the next offset, the better that agrees, too.
    const auto before = laid_at(words_, stretch, best_offset - 1, 1);
    const auto after = laid_at(words_, stretch, best_offset + 1, 1);
    auto offset = static_cast<double>(best_offset);
    if (before && after) offset += parabolic_peak(*before, best, *after).offset_bins;
    stretches.push_back({first_s + 0.5 * kCourseStretch_s, offset * kPrintStep_s - place.speed * first_s, best});
  }
  return course_through(stretches);
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
  std::vector<SongPlace> places;
  for (std::size_t i = 0; i < best.size(); ++i)
    for (std::size_t j = 0; j < std::min<std::size_t>(3, best[i].size()); ++j) {
      const double found_s = (static_cast<double>(i) + 0.5) * tape_s / static_cast<double>(stretches);
      const SongCourse course = course_about(spectra, best[i][j], found_s);
      if (course.leads_s.empty()) continue;
      keep(places, {best[i][j].speed + course.slope, course.leads_s[0], course.agreement}, 0.5 * tape_s, kMostPlaces);
    }
  for (SongPlace& place : places) place.start_s += start_correction_s(place.speed);
  return places;
}

std::vector<SongPlace> SongSearch::course_of(std::span<const float> tape, const SongPlace& place) const {
  SongSpectra spectra(tape);
  const SongCourse course = course_about(spectra, place, std::nullopt);
  std::vector<SongPlace> places;
  const double speed = place.speed + course.slope;
  for (const double lead_s : course.leads_s)
    places.push_back({speed, lead_s + start_correction_s(place.speed), course.agreement});
  if (places.empty()) places.push_back(place);
  return places;
}

}  // namespace four76
