// Peers: what else people read a tone's frequency with, written as they do it and with the settings that suit them
// best.
//
// Each gives a frequency for a recording, or none where its user would see that there is none. None of them states an
// uncertainty.
#pragma once

#include <optional>
#include <vector>

namespace four76::bench {

using Samples = std::vector<float>;

struct PeerReading {
  std::optional<double> last_hz;    // what stands on the display at the end
  std::optional<double> mean_hz;    // of all that stood there
  std::optional<double> median_hz;  // likewise
};

PeerReading reading_of(const std::vector<double>& shown);

// A counter with a gate of one second, as a multimeter's frequency range has: AC-coupled, a Schmitt trigger of +-30 %
// of the RMS about zero. It times the first and the last rising edge within the gate between samples, which a
// reciprocal counter does and a plain one, with its +-1 Hz, does not.
PeerReading count_crossings(const Samples& samples, double sample_rate_hz);

// The highest peak within +-25 % of the nominal in a 16,384-point Hann spectrum, a parabola through its log power and
// both neighbours'; frames overlap by half. None where no peak stands 10 dB above that band's median.
PeerReading spectrum_peak(const Samples& samples, double sample_rate_hz, double nominal_hz);

// aubio's pitch detector by that method, at a buffer of 4,096 samples every 1,024. 0 Hz is none.
PeerReading aubio_pitch(const Samples& samples, double sample_rate_hz, const char* method);

}  // namespace four76::bench
