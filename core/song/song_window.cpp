#include "core/song/song_window.hpp"

#include <cmath>

namespace four76 {

bool SongWindow::set_tape(std::span<const float> sound, double from_s, double middle_s) noexcept {
  const double in_sound_s = std::round((middle_s - from_s) * kSongRate_hz) / kSongRate_hz;
  middle_s_ = from_s + in_sound_s;
  return correlator_.set_tape(sound, in_sound_s);
}

std::span<const SongPeak> SongWindow::peaks(double place_s, double speed, double reach_s) noexcept {
  place_s_ = place_s;
  speed_ = speed;
  const auto out = correlator_.reference();
  const double middle = place_s * kSongRate_hz;
  const auto half = static_cast<double>(out.size() / 2);
  for (std::size_t n = 0; n < out.size(); ++n)
    out[n] = table_.at(reference_, middle + (static_cast<double>(n) - half) * speed);
  std::array<DelayPeak, kMostPeaks> found;
  return placed(std::span(found).first(correlator_.correlate(reach_s, found)));
}

std::span<const SongPeak> SongWindow::peaks_within(double reach_s) noexcept {
  std::array<DelayPeak, kMostPeaks> found;
  return placed(std::span(found).first(correlator_.peaks_within(reach_s, found)));
}

std::span<const SongPeak> SongWindow::placed(std::span<const DelayPeak> found) noexcept {
  for (std::size_t i = 0; i < found.size(); ++i)
    peaks_[i] = {place_s_ + speed_ * found[i].delay_s, found[i].z, found[i].inverted};
  return std::span(peaks_).first(found.size());
}

std::optional<SongRate> SongWindow::rate() noexcept {
  const auto ratio = partials_.of(correlator_.tape_spectrum(), correlator_.reference_spectrum());
  if (!ratio) return std::nullopt;
  return SongRate{middle_s_, speed_ * ratio->ratio, speed_ * ratio->sigma};
}

}  // namespace four76
