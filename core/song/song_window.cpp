#include "core/song/song_window.hpp"

#include <cmath>

namespace four76 {

bool SongWindow::set_tape(std::span<const float> sound, double from_s, double middle_s) noexcept {
  const double in_sound_s = std::round((middle_s - from_s) * kSongRate_hz) / kSongRate_hz;
  middle_s_ = from_s + in_sound_s;
  return correlator_.set_tape(sound, in_sound_s);
}

std::span<const SongPeak> SongWindow::peaks(double place_s, double speed, double reach_s) noexcept {
  const auto out = correlator_.reference();
  const double middle = place_s * kSongRate_hz;
  const auto half = static_cast<double>(out.size() / 2);
  for (std::size_t n = 0; n < out.size(); ++n)
    out[n] = table_.at(reference_, middle + (static_cast<double>(n) - half) * speed);
  std::array<DelayPeak, kMostPeaks> found;
  const std::size_t count = correlator_.correlate(reach_s, found);
  for (std::size_t i = 0; i < count; ++i)
    peaks_[i] = {place_s + speed * found[i].delay_s, found[i].z, found[i].inverted};
  return std::span(peaks_).first(count);
}

}  // namespace four76
