#include <aubio/aubio.h>

#include <algorithm>
#include <stdexcept>
#include <string>

#include "tests/bench/peers.hpp"

namespace four76::bench {

namespace {
constexpr unsigned kBuffer = 4096;
constexpr unsigned kHop = 1024;
constexpr float kSilenceDb = -90.0F;  // its own limit of -50 dB would lose the quiet scenes
}  // namespace

PeerReading aubio_pitch(const Samples& samples, double sample_rate_hz, const char* method) {
  aubio_pitch_t* pitch = new_aubio_pitch(method, kBuffer, kHop, static_cast<unsigned>(sample_rate_hz));
  if (pitch == nullptr) throw std::runtime_error("aubio does not know the method " + std::string(method));
  aubio_pitch_set_unit(pitch, "Hz");
  aubio_pitch_set_silence(pitch, kSilenceDb);
  fvec_t* in = new_fvec(kHop);
  fvec_t* out = new_fvec(1);
  std::vector<double> shown;
  for (std::size_t at = 0; at + kHop <= samples.size(); at += kHop) {
    std::copy_n(samples.begin() + static_cast<std::ptrdiff_t>(at), kHop, in->data);
    aubio_pitch_do(pitch, in, out);
    if (at >= kBuffer && out->data[0] > 0.0F) shown.push_back(static_cast<double>(out->data[0]));
  }
  del_fvec(out);
  del_fvec(in);
  del_aubio_pitch(pitch);
  return reading_of(shown);
}

}  // namespace four76::bench
