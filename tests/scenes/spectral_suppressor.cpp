// A spectral noise suppressor, as devices for speech have it: what stays in a band is taken for noise and gated.
//
// Frames of about 20 ms under a square-root Hann window, overlapped by half; each bin's gain is Wiener's, of a noise
// estimate that rises slowly and falls fast (common practice). A steady tone therefore fades within the time it
// takes to learn, and the floor breathes with whatever comes and goes.
#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

#include "tests/scenes/fft_pair.hpp"
#include "tests/scenes/scene.hpp"

namespace four76::scenes {

namespace {

constexpr double kFrameS = 0.02;
constexpr double kFallS = 0.2;  // the estimate's time constant downwards
constexpr double kOverSubtraction = 1.5;

struct Bin {
  double noise = 0.0;
  double smooth = 0.0;
};

class Suppressor {
 public:
  Suppressor(double rate_hz, double learn_s, double floor_db)
      : fft_(std::bit_ceil(static_cast<std::size_t>(kFrameS * rate_hz))),
        bins_(fft_.bins().size()),
        floor_(from_db(-floor_db)) {
    const double frames_per_s = 2.0 * rate_hz / static_cast<double>(fft_.time().size());
    rise_ = 1.0 - std::exp(-1.0 / (learn_s * frames_per_s));
    fall_ = 1.0 - std::exp(-1.0 / (kFallS * frames_per_s));
  }

  void run(Samples& samples) {
    const std::size_t size = fft_.time().size();
    Samples in(samples.size() + 2 * size);  // half a frame more at the start, one and a half at the end
    std::copy(samples.begin(), samples.end(), in.begin() + static_cast<std::ptrdiff_t>(size / 2));
    Samples out(in.size());
    for (std::size_t at = 0; at + size <= in.size(); at += size / 2) {
      for (std::size_t n = 0; n < size; ++n) fft_.time()[n] = static_cast<double>(in[at + n]) * window(n);
      fft_.forward();
      for (std::size_t k = 0; k < bins_.size(); ++k) fft_.bins()[k] *= gain(bins_[k], std::norm(fft_.bins()[k]));
      fft_.backward();
      for (std::size_t n = 0; n < size; ++n) out[at + n] += static_cast<float>(fft_.time()[n] * window(n));
    }
    std::copy_n(out.begin() + static_cast<std::ptrdiff_t>(size / 2), samples.size(), samples.begin());
  }

 private:
  double window(std::size_t n) {
    return std::sin(std::numbers::pi * (static_cast<double>(n) + 0.5) / static_cast<double>(fft_.time().size()));
  }

  double gain(Bin& bin, double power) const {
    bin.smooth += 0.4 * (power - bin.smooth);
    bin.noise += (bin.smooth > bin.noise ? rise_ : fall_) * (bin.smooth - bin.noise);
    return std::max(floor_, 1.0 - kOverSubtraction * bin.noise / (bin.smooth + 1e-20));
  }

  FftPair fft_;
  std::vector<Bin> bins_;
  double floor_;
  double rise_ = 0.0, fall_ = 0.0;
};

}  // namespace

Scene& Scene::spectral_suppressor(double learn_s, double floor_db) {
  Suppressor(sample_rate_hz, learn_s, floor_db).run(samples);
  return *this;
}

}  // namespace four76::scenes
