#include "tests/scenes/song_tape.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>

#include "core/song/rate_changer.hpp"
#include "tests/scenes/song_pieces.hpp"

namespace four76::scenes {
namespace {
constexpr double kTau = 2.0 * std::numbers::pi;

// Between samples, by a sinc under a Hann window of 32 samples, worked out afresh each time.
double between(std::span<const float> piece, double position) {
  const auto whole = static_cast<std::ptrdiff_t>(std::floor(position));
  const double part = position - static_cast<double>(whole);
  if (whole < 16 || whole + 17 >= static_cast<std::ptrdiff_t>(piece.size())) return 0.0;
  if (part < 1e-9) return piece[static_cast<std::size_t>(whole)];
  const double sine = std::sin(std::numbers::pi * part) / std::numbers::pi;
  double sum = 0.0;
  for (int k = -15; k <= 16; ++k) {
    const double u = part - k;
    const double x = u / 16.5;
    const double window = (1.0 - x * x) * (1.0 - x * x);
    sum += piece[static_cast<std::size_t>(whole + k)] * ((k & 1) != 0 ? -sine : sine) / u * window;
  }
  return sum;
}

// Second order, by the bilinear transform (cookbook formulas, from memory).
void biquad(std::vector<float>& samples, double corner_hz, double rate_hz, bool high_pass) {
  const double w = kTau * std::min(corner_hz, 0.45 * rate_hz) / rate_hz;
  const double alpha = std::sin(w) / std::numbers::sqrt2;
  const double c = std::cos(w);
  const double a0 = 1.0 + alpha;
  const double b1 = high_pass ? -(1.0 + c) / a0 : (1.0 - c) / a0;
  const double b0 = std::abs(b1) / 2.0;
  std::array<double, 4> z{};
  for (float& sample : samples) {
    const double y = b0 * (sample + z[1]) + b1 * z[0] + 2.0 * c / a0 * z[2] - (1.0 - alpha) / a0 * z[3];
    z = {sample, z[0], y, z[2]};
    sample = static_cast<float>(y);
  }
}

// Six combs that die away by 60 dB in that time, through two all-passes; as loud as the direct sound.
void reverberate(std::vector<float>& samples, double rt60_s, double rate_hz) {
  if (rt60_s <= 0.0) return;
  std::vector<float> wet(samples.size());
  for (const double delay_s : {0.0297, 0.0371, 0.0411, 0.0437, 0.0531, 0.0617}) {
    const auto delay = static_cast<std::size_t>(delay_s * rate_hz);
    const double gain = std::pow(10.0, -3.0 * delay_s / rt60_s);
    std::vector<float> line(samples.size());
    for (std::size_t n = delay; n < line.size(); ++n) {
      line[n] = static_cast<float>(samples[n - delay] + gain * line[n - delay]);
      wet[n] += line[n];
    }
  }
  for (const double delay_s : {0.005, 0.0017}) {
    const auto delay = static_cast<std::size_t>(delay_s * rate_hz);
    std::vector<float> out(wet.size());
    for (std::size_t n = delay; n < out.size(); ++n) out[n] = -0.7F * wet[n] + wet[n - delay] + 0.7F * out[n - delay];
    wet = std::move(out);
  }
  double dry_power = 1e-12;
  double wet_power = 1e-12;
  for (std::size_t n = 0; n < wet.size(); ++n) {
    dry_power += samples[n] * samples[n];
    wet_power += wet[n] * wet[n];
  }
  const auto gain = static_cast<float>(std::sqrt(dry_power / wet_power));
  for (std::size_t n = 0; n < wet.size(); ++n) samples[n] += gain * wet[n];
}

double position_s(const SongTape& tape, double t) {
  double at = t;
  for (const Sinusoid& wow : tape.wow)
    at += wow.peak_percent / 100.0 / (kTau * wow.rate_hz) *
          (std::cos(wow.phase) - std::cos(kTau * wow.rate_hz * t + wow.phase));
  double left_out_s = 0.0;
  for (const auto& [at_s, length_s] : tape.cuts) left_out_s += t >= at_s ? length_s : 0.0;
  return tape.from_s + (1.0 + tape.error_percent / 100.0) * at + left_out_s;
}

double power_of(std::span<const float> samples) {
  double power = 1e-12;
  for (const float sample : samples) power += sample * sample;
  return power;
}

void hear(const std::optional<Band>& microphone, std::vector<float>& samples, double rate_hz) {
  if (!microphone) return;
  for (int i = 0; i < 2; ++i) {
    biquad(samples, microphone->low_hz, rate_hz, true);
    biquad(samples, microphone->high_hz, rate_hz, false);
  }
}

// What the room's microphone has of the talk, as long and as fast as the tape; silence where nobody talks.
std::vector<float> talk_beside(const SongTape& tape, double music_power, std::size_t count) {
  std::vector<float> out(count);
  if (tape.talk.empty()) return out;
  std::vector<float> banded = tape.talk;
  for (int i = 0; i < 2; ++i) biquad(banded, 0.42 * tape.rate_hz, kPieceRate_hz, false);
  for (std::size_t n = 0; n < count; ++n)
    out[n] = static_cast<float>(between(banded, static_cast<double>(n) / tape.rate_hz * kPieceRate_hz));
  const auto gain = static_cast<float>(std::sqrt(music_power / power_of(out)) * std::pow(10.0, tape.talk_db / 20.0));
  for (float& sample : out) sample *= gain;
  reverberate(out, tape.reverberation_s, tape.rate_hz);
  hear(tape.microphone, out, tape.rate_hz);
  return out;
}
}  // namespace

std::vector<float> record(std::span<const float> piece, const SongTape& tape) {
  std::vector<float> banded(piece.begin(), piece.end());
  const double high_hz = std::min(tape.high_hz, 0.42 * tape.rate_hz);
  for (int i = 0; i < 2; ++i) {
    biquad(banded, high_hz, kPieceRate_hz, false);
    if (i == 0) biquad(banded, tape.low_hz, kPieceRate_hz, true);
  }
  std::vector<float> out(static_cast<std::size_t>(tape.seconds * tape.rate_hz));
  for (std::size_t n = 0; n < out.size(); ++n) {
    const double t = static_cast<double>(n) / tape.rate_hz;
    out[n] = static_cast<float>(between(banded, position_s(tape, t) * kPieceRate_hz));
  }
  const std::vector<float> talk = talk_beside(tape, power_of(out), out.size());
  reverberate(out, tape.reverberation_s, tape.rate_hz);
  hear(tape.microphone, out, tape.rate_hz);
  const double power = power_of(out);
  // Hiss: white up to what the tape's band holds, so much below the music.
  const double in_band = std::min(1.0, high_hz / (0.5 * tape.rate_hz));
  const double hiss =
      std::sqrt(power / static_cast<double>(out.size()) / in_band) * std::pow(10.0, -tape.signal_to_noise_db / 20.0);
  std::mt19937_64 random(tape.seed);
  std::normal_distribution<> gaussian;
  for (std::size_t n = 0; n < out.size(); ++n) {
    const double t = static_cast<double>(n) / tape.rate_hz;
    double gain = tape.level * (tape.inverted ? -1.0 : 1.0) *
                  std::pow(10.0, tape.level_swing_db / 20.0 * std::sin(kTau * t / 7.0));
    for (const auto& [from_s, to_s] : tape.dropouts)
      if (t >= from_s && t < to_s) gain = 0.0;
    out[n] = static_cast<float>(gain * out[n] + tape.level * (talk[n] + hiss * gaussian(random)));
  }
  return out;
}

std::vector<float> at_song_rate(std::span<const float> samples, double rate_hz) {
  std::vector<float> out;
  RateChanger changer({.sample_rate_hz = rate_hz});
  changer.process(samples, [&](float sample) { out.push_back(sample); });
  return out;
}

}  // namespace four76::scenes
