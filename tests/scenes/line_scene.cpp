#include "tests/scenes/line_scene.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>

#include "core/signal/gaussian_noise.hpp"

namespace four76::scenes {

namespace {

constexpr double kTau = 2.0 * std::numbers::pi;
constexpr std::array kScale = {0, 2, 4, 5, 7, 9, 11};
constexpr double kMusicRms = 0.1;
constexpr double kUnheard_s = 0.55;  // the movement of the last half second never comes
constexpr double kMargin_s = 6.0;    // of the tape beyond what is played: at most 8 % fast

class Player {
 public:
  explicit Player(const LineScene& scene) : scene_(scene), random_(scene.seed * 7919 + 17) {}
  PlayedScene play();

 private:
  double uniform(double low, double high) { return low + (high - low) * random_.next_uniform(); }
  double scale_hz(double lowest_hz, int degrees) {
    const int degree = static_cast<int>(uniform(0.0, degrees));
    const int semitones = kScale[static_cast<std::size_t>(degree % 7)] + 12 * (degree / 7);
    return lowest_hz * std::pow(2.0, semitones / 12.0);
  }
  void run_machine();
  std::vector<float> music();
  void note(std::vector<float>& to, double at_s, double length_s, double hz, double decay_s, int harmonics,
            double level);
  void burst(std::vector<float>& to, double at_s, double decay_s, double level, bool high);
  void bass(std::vector<float>& to);
  void speech(std::vector<float>& to);
  void hum(std::vector<float>& to, double hz, double db, bool on_tape);
  void movement(PlayedScene& played);

  const LineScene& scene_;
  GaussianNoise random_;
  double key_ = 1.0;
  std::vector<double> log_speed_, tape_s_;  // a sample each
};

void Player::run_machine() {
  const auto count = static_cast<std::size_t>(scene_.length_s * scene_.sample_rate_hz);
  std::array<double, 3> rates{uniform(0.5, 1.2), uniform(1.2, 3.0), uniform(3.0, 6.0)}, parts{}, phases{};
  double power = 0.0;
  for (std::size_t i = 0; i < 3; ++i) {
    parts[i] = uniform(0.3, 1.0);
    phases[i] = uniform(0.0, kTau);
    power += 0.5 * parts[i] * parts[i];
  }
  for (double& part : parts) part *= scene_.wow_rms / std::sqrt(power);
  // Two low-passes of 2 s in a row make the random part smooth.
  const double dt = 1.0 / scene_.sample_rate_hz, follow = dt / 2.0;
  double slow = 0.0, slower = 0.0, tape_s = 0.0;
  const double drive = scene_.drift_rms * 2.0 * std::sqrt(1.0 / follow);
  for (std::size_t n = 0; n < count; ++n) {
    slow += follow * (drive * random_.next() - slow);
    slower += follow * (slow - slower);
    const double t = static_cast<double>(n) * dt;
    double m = slower;
    for (std::size_t i = 0; i < 3; ++i) m += parts[i] * std::sin(kTau * rates[i] * t + phases[i]);
    log_speed_.push_back(std::log1p(scene_.speed_error) + m);
    tape_s_.push_back(tape_s);
    tape_s += dt * std::exp(log_speed_.back());
  }
}

void Player::note(std::vector<float>& to, double at_s, double length_s, double hz, double decay_s, int harmonics,
                  double level) {
  const double rate = scene_.sample_rate_hz;
  const auto first = static_cast<std::size_t>(at_s * rate);
  const auto last = std::min(to.size(), first + static_cast<std::size_t>(length_s * rate));
  for (int h = 1; h <= harmonics && h * hz < 0.45 * rate; ++h) {
    const std::complex<double> turn = std::polar(std::exp(-1.0 / (decay_s * rate)), kTau * h * hz / rate);
    std::complex<double> at = std::polar(level * std::pow(h, -uniform(0.7, 1.6)), uniform(0.0, kTau));
    const double edge = 0.006 * rate;
    for (std::size_t n = first; n < last; ++n, at *= turn)
      to[n] += static_cast<float>(at.imag() * std::min(1.0, static_cast<double>(std::min(n - first, last - n)) / edge));
  }
}

void Player::burst(std::vector<float>& to, double at_s, double decay_s, double level, bool high) {
  const double rate = scene_.sample_rate_hz;
  const auto first = static_cast<std::size_t>(at_s * rate);
  const auto last = std::min(to.size(), first + static_cast<std::size_t>(6.0 * decay_s * rate));
  double before = 0.0;
  for (std::size_t n = first; n < last; ++n) {
    const double noise = random_.next();
    const double envelope = level * std::exp(-static_cast<double>(n - first) / (decay_s * rate));
    to[n] += static_cast<float>(envelope * (high ? 0.5 * (noise - before) : noise));
    before = noise;
  }
}

void Player::bass(std::vector<float>& to) {
  const double end_s = static_cast<double>(to.size()) / scene_.sample_rate_hz - 0.1;
  for (double t = uniform(0.0, 0.5); t < end_s;) {
    const double length_s = uniform(1.0, 2.0);
    double hz = scale_hz(45.0 * key_, 8);
    if (hz > 110.0) hz *= 0.5;
    note(to, t, length_s, scene_.bass_hz.value_or(hz), uniform(0.8, 4.0), 8, 1.0);
    t += length_s * uniform(0.95, 1.1);
  }
}

std::vector<float> Player::music() {
  const double end_s = scene_.length_s + kMargin_s;
  std::vector<float> to(static_cast<std::size_t>(end_s * scene_.sample_rate_hz));
  key_ = std::pow(2.0, uniform(0.0, 12.0) / 12.0 / 3.0);  // up to a third up, not on semitones
  const double beat_s = uniform(0.35, 0.6);
  for (double t = 0.05; t + 0.1 < end_s; t += beat_s * (uniform(0.0, 1.0) < 0.5 ? 0.5 : 1.0))
    note(to, t, uniform(0.2, 1.5), scale_hz(180.0 * key_, 21), uniform(0.2, 1.0), 10, uniform(0.3, 0.8));
  for (double t = 0.0; t + 0.1 < end_s; t += 0.5 * beat_s) {
    burst(to, t, uniform(0.01, 0.04), uniform(0.05, 0.3), true);
    if (uniform(0.0, 1.0) < 0.4) burst(to, t, uniform(0.03, 0.08), uniform(0.2, 0.6), false);
    if (uniform(0.0, 1.0) < 0.05) burst(to, t, uniform(0.3, 0.8), uniform(0.1, 0.3), true);  // a cymbal
  }
  bass(to);
  return to;
}

void Player::speech(std::vector<float>& to) {
  const double end_s = scene_.length_s - 0.1;
  for (double t = 0.1; t < end_s; t += uniform(0.15, 0.35)) {
    if (uniform(0.0, 1.0) < 0.15) t += uniform(0.3, 0.9);
    burst(to, t, uniform(0.03, 0.1), uniform(0.2, 1.0), uniform(0.0, 1.0) < 0.3);
    if (uniform(0.0, 1.0) < 0.8) note(to, t, uniform(0.1, 0.3), uniform(85.0, 180.0), 0.3, 20, uniform(0.3, 1.0));
  }
}

double amplitude(double db) { return kMusicRms * std::numbers::sqrt2 * std::pow(10.0, db / 20.0); }

// Harmonics fall by some dB each, even and odd ones by different amounts, as rectifiers make them.
void Player::hum(std::vector<float>& to, double hz, double db, bool on_tape) {
  std::array<double, 8> levels{}, phases{};
  double power = 0.0;
  for (std::size_t h = 0; h < levels.size(); ++h) {
    levels[h] = std::pow(static_cast<double>(h + 1), -uniform(0.3, 1.0)) * uniform(0.4, 1.0);
    phases[h] = uniform(0.0, kTau);
    power += levels[h] * levels[h];
  }
  for (std::size_t h = 0; h < levels.size(); ++h)
    for (std::size_t n = 0; n < to.size(); ++n) {
      const double t = on_tape ? tape_s_[n] : static_cast<double>(n) / scene_.sample_rate_hz;
      to[n] += static_cast<float>(amplitude(db) * levels[h] / std::sqrt(power) *
                                  std::sin(kTau * static_cast<double>(h + 1) * hz * t + phases[h]));
    }
}

void Player::movement(PlayedScene& played) {
  const double rate = scene_.sample_rate_hz;
  double before = 0.0, walk = 0.0, slow = 0.0, error_before = 0.0;
  for (std::size_t k = 0;; ++k) {
    const double from_s = static_cast<double>(k) * kMovementStep_s;
    const auto first = static_cast<std::size_t>(from_s * rate);
    const auto last = static_cast<std::size_t>((from_s + kMovementStep_s) * rate);
    if (last >= log_speed_.size()) return;
    double mean = 0.0;
    for (std::size_t n = first; n < last; ++n) mean += log_speed_[n];
    mean /= static_cast<double>(last - first);
    walk += 0.0002 * random_.next();
    slow += 0.02 * (-slow) + 0.0003 * 0.2 * random_.next();  // 0.03 %, over some 2 s
    const double error = scene_.movement_error == MovementError::random_walk ? walk : 0.00014 * random_.next() + slow;
    played.movement.push_back(
        {from_s + 0.5 * kMovementStep_s, k == 0 ? 0.0 : mean + error - before - error_before, 0.0002});
    before = mean;
    error_before = error;
  }
}

PlayedScene Player::play() {
  run_machine();
  PlayedScene played;
  auto& to = played.samples;
  to.assign(log_speed_.size(), 0.0F);
  if (scene_.music) {
    const auto tape = music();
    for (std::size_t n = 0; n < to.size(); ++n) {
      const double at = tape_s_[n] * scene_.sample_rate_hz;
      const auto k = static_cast<std::size_t>(at);
      if (k < 1 || k + 2 >= tape.size()) continue;
      const auto x = static_cast<float>(at - static_cast<double>(k));
      const float a = tape[k - 1], b = tape[k], c = tape[k + 1], d = tape[k + 2];
      to[n] = b + 0.5F * x * (c - a + x * (2.0F * a - 5.0F * b + 4.0F * c - d + x * (3.0F * (b - c) + d - a)));
    }
  }
  if (scene_.speech) speech(to);
  double power = 0.0;
  for (const float sample : to) power += static_cast<double>(sample) * sample;
  const double scale = power > 0.0 ? kMusicRms / std::sqrt(power / static_cast<double>(to.size())) : 0.0;
  const double hiss = kMusicRms * std::pow(10.0, scene_.hiss_db / 20.0);
  for (float& sample : to) sample = static_cast<float>(scale * sample + hiss * random_.next());
  for (std::size_t n = 0; n < to.size(); ++n) {
    if (scene_.tape_line_hz)
      to[n] += static_cast<float>(amplitude(scene_.tape_line_db) * std::sin(kTau * *scene_.tape_line_hz * tape_s_[n]));
    if (scene_.room_line_hz)
      to[n] +=
          static_cast<float>(amplitude(scene_.room_line_db) *
                             std::sin(kTau * *scene_.room_line_hz * static_cast<double>(n) / scene_.sample_rate_hz));
  }
  if (scene_.tape_hum_hz) hum(to, *scene_.tape_hum_hz, scene_.tape_hum_db, true);
  if (scene_.machine_hum_hz) hum(to, *scene_.machine_hum_hz, scene_.machine_hum_db, false);
  const auto heard = static_cast<std::size_t>((scene_.length_s - kUnheard_s) * scene_.sample_rate_hz);
  played.mean_speed = tape_s_[heard] / (static_cast<double>(heard) / scene_.sample_rate_hz);
  movement(played);
  return played;
}

}  // namespace

PlayedScene play(const LineScene& scene) { return Player(scene).play(); }

}  // namespace four76::scenes
