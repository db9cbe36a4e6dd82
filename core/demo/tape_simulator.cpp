#include "core/demo/tape_simulator.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <utility>

#include "core/signal/gaussian_noise.hpp"

namespace four76 {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr double kTrimmerLag_s = 0.080;
// The slow random parts and the rotors' pace are worked out this often and joined by straight lines: fine enough for
// parts below 2 Hz (a straight line across 1 ms misses a 2 Hz sine by 5e-6 of its peak).
constexpr double kTick_s = 0.001;
constexpr double kRandomWowCorner_hz = 1.0;
constexpr double kLevelCorner_hz = 2.0;
// Long enough for the slowest random part to have forgotten that it began at rest.
constexpr int kSettleTicks = 3000;

// Streams of one seed that must not run in step.
enum Stream : std::uint64_t { kPhases = 1, kRandomWow, kLevel, kHiss };
std::uint64_t seed_of(std::uint64_t seed, std::uint64_t stream) { return seed * 0xD1342543DE82EF95u + (stream << 56); }

// A turning part, as a unit phasor moved by one complex product a frame.
struct Rotor {
  double rate_hz = 0.0;  // at the nominal tape speed
  double peak = 0.0;     // of its share in the speed error, as a fraction
  double re = 1.0, im = 0.0;
  double step_re = 1.0, step_im = 0.0;

  void start(double angle) noexcept {
    re = std::cos(angle);
    im = std::sin(angle);
  }
  // Sets the pace, and takes away what rounding did to the phasor's length.
  void pace(double angle_per_frame) noexcept {
    step_re = std::cos(angle_per_frame);
    step_im = std::sin(angle_per_frame);
    const double length = std::hypot(re, im);
    re /= length;
    im /= length;
  }
  double next() noexcept {
    const double value = peak * im;
    const double turned = re * step_re - im * step_im;
    im = re * step_im + im * step_re;
    re = turned;
    return value;
  }
};

// Gaussian noise through two equal first-order low-passes, scaled to an rms of 1, as straight lines between ticks.
class SlowRandom {
 public:
  SlowRandom(double corner_hz, double tick_hz, std::uint64_t seed) noexcept : noise_(seed) {
    pole_ = std::exp(-kTwoPi * corner_hz / tick_hz);
    // The pair's impulse response is (1-a)^2 (n+1) a^n; the sum of its squares, with q = a^2, is
    // (1-a)^4 (1+q) / (1-q)^3.
    const double q = pole_ * pole_;
    gain_ = 1.0 / std::sqrt(std::pow(1.0 - pole_, 4) * (1.0 + q) / std::pow(1.0 - q, 3));
    for (int i = 0; i < kSettleTicks; ++i) tick(1.0);
  }
  void tick(double frames) noexcept {
    value_ = target_;
    first_ += (1.0 - pole_) * (noise_.next() - first_);
    second_ += (1.0 - pole_) * (first_ - second_);
    target_ = gain_ * second_;
    slope_ = (target_ - value_) / frames;
  }
  double next() noexcept { return std::exchange(value_, value_ + slope_); }

 private:
  GaussianNoise noise_;
  double pole_ = 0.0, gain_ = 0.0;
  double first_ = 0.0, second_ = 0.0;
  double value_ = 0.0, target_ = 0.0, slope_ = 0.0;
};

// Everything that changes from frame to frame.
struct Machine {
  explicit Machine(const TapeSimulator::Config& config) noexcept
      : ticks_frames(std::max(1, static_cast<int>(std::lround(config.sample_rate_hz * kTick_s)))),
        target(config.trim_percent / 100.0),
        trim(target),
        trim_share(-std::expm1(-1.0 / (kTrimmerLag_s * config.sample_rate_hz))),
        random_wow(kRandomWowCorner_hz, config.sample_rate_hz / ticks_frames, seed_of(config.seed, kRandomWow)),
        level(kLevelCorner_hz, config.sample_rate_hz / ticks_frames, seed_of(config.seed, kLevel)),
        hiss{GaussianNoise(seed_of(config.seed, kHiss)), GaussianNoise(seed_of(config.seed, kHiss + 1))} {
    const auto set = [this](std::size_t i, double rate_hz, double peak_percent) {
      rotors[i].rate_hz = rate_hz;
      rotors[i].peak = peak_percent / 100.0;
    };
    set(0, config.capstan_hz, config.capstan_peak_percent);
    set(1, config.roller_hz, config.roller_peak_percent);
    set(2, config.reel_hz, config.reel_peak_percent);
    set(3, config.belt_hz, config.belt_peak_percent);
    set(4, 2.0 * config.belt_hz, config.belt_second_percent);
    GaussianNoise phases(seed_of(config.seed, kPhases));
    for (Rotor& rotor : rotors) rotor.start(kTwoPi * phases.next_uniform());
    cycles = phases.next_uniform();
    mark_cycles = cycles;
  }

  // One frame on: sets the speed of the coming frame, as a fraction of nominal.
  void next_speed(const TapeSimulator::Config& config) noexcept {
    if (frames_to_tick == 0) tick(config.sample_rate_hz);
    --frames_to_tick;
    double wow = 0.01 * config.random_rms_percent * random_wow.next();
    for (Rotor& rotor : rotors) wow += rotor.next();
    speed = (1.0 + trim) * (1.0 + wow);
    trim += trim_share * (target - trim);
  }

  void tick(double sample_rate_hz) noexcept {
    frames_to_tick = ticks_frames;
    for (Rotor& rotor : rotors) rotor.pace(kTwoPi * rotor.rate_hz * (1.0 + trim) / sample_rate_hz);
    random_wow.tick(ticks_frames);
    level.tick(ticks_frames);
  }

  // The phase is kept as whole cycles and a fraction, so that it stays exact however long the tape is.
  void advance(double cycles_per_frame) noexcept {
    cycles += cycles_per_frame;
    const double whole = std::floor(cycles);
    cycles -= whole;
    whole_cycles += static_cast<std::int64_t>(whole);
    ++frames;
  }

  void mark() noexcept {
    mark_cycles = cycles;
    whole_cycles = 0;
    frames = 0;
  }

  int ticks_frames;
  int frames_to_tick = 0;
  double target, trim, trim_share;
  std::array<Rotor, 5> rotors;
  SlowRandom random_wow, level;
  std::array<GaussianNoise, 2> hiss;
  double speed = 1.0;  // of the newest frame
  double cycles = 0.0, mark_cycles = 0.0;
  std::int64_t whole_cycles = 0, frames = 0;  // since the mark
};

}  // namespace

struct TapeSimulator::Impl {
  explicit Impl(const Config& wanted) noexcept : config(wanted), machine(wanted) {
    amplitude = std::pow(10.0, config.level_dbfs / 20.0);
    const double density_per_hz = amplitude * amplitude / 2.0 * std::pow(10.0, -config.hiss_dbhz / 10.0);
    hiss_rms = std::sqrt(density_per_hz * config.sample_rate_hz / 2.0);
    start();
  }
  void start() noexcept {
    machine = Machine(config);
    Machine ahead = machine;
    ahead.next_speed(config);
    machine.speed = ahead.speed;
  }
  Config config;
  Machine machine;
  double amplitude = 0.0, hiss_rms = 0.0;
};

TapeSimulator::TapeSimulator(const Config& config) {
  assert(config.sample_rate_hz >= 8000.0 && config.sample_rate_hz <= 384000.0 && "sample rate: 8 to 384 kHz");
  assert((config.channels == 1 || config.channels == 2) && "one or two channels");
  assert(config.tone_hz > 0.0 && config.tone_hz < 0.4 * config.sample_rate_hz && "the tone must fit the sample rate");
  impl_ = std::make_unique<Impl>(config);
}
TapeSimulator::~TapeSimulator() = default;
TapeSimulator::TapeSimulator(TapeSimulator&&) noexcept = default;
TapeSimulator& TapeSimulator::operator=(TapeSimulator&&) noexcept = default;

void TapeSimulator::reset() noexcept { impl_->start(); }
void TapeSimulator::set_trim_percent(double percent) noexcept { impl_->machine.target = percent / 100.0; }
double TapeSimulator::trim_percent() const noexcept { return 100.0 * impl_->machine.target; }

void TapeSimulator::render(std::span<float> interleaved) noexcept {
  const Config& config = impl_->config;
  Machine& machine = impl_->machine;
  const auto channels = static_cast<std::size_t>(config.channels);
  assert(interleaved.size() % channels == 0 && "whole frames only");
  const double cycles_per_frame = config.tone_hz / config.sample_rate_hz;
  const double neper_per_unit = config.amplitude_flutter_db * std::numbers::ln10 / 20.0;
  for (std::size_t at = 0; at + channels <= interleaved.size(); at += channels) {
    machine.next_speed(config);
    const double gain = std::exp(neper_per_unit * std::tanh(machine.level.next()));
    const double tone = impl_->amplitude * gain * std::sin(kTwoPi * machine.cycles);
    for (std::size_t c = 0; c < channels; ++c)
      interleaved[at + c] = static_cast<float>(tone + impl_->hiss_rms * machine.hiss[c].next());
    machine.advance(cycles_per_frame * machine.speed);
  }
}

double TapeSimulator::mean_frequency_hz() const noexcept {
  const Machine& machine = impl_->machine;
  if (machine.frames == 0) return impl_->config.tone_hz * machine.speed;
  const double cycles = static_cast<double>(machine.whole_cycles) + (machine.cycles - machine.mark_cycles);
  return cycles * impl_->config.sample_rate_hz / static_cast<double>(machine.frames);
}
void TapeSimulator::mark() noexcept { impl_->machine.mark(); }
double TapeSimulator::instantaneous_speed_error_percent() const noexcept {
  return 100.0 * (impl_->machine.speed - 1.0);
}
const TapeSimulator::Config& TapeSimulator::config() const noexcept { return impl_->config; }

}  // namespace four76
