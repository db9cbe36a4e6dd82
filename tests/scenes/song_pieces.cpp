#include "tests/scenes/song_pieces.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <random>

namespace four76::scenes {
namespace {
constexpr double kTau = 2.0 * std::numbers::pi;

struct Note {
  double at_s = 0.0;
  double length_s = 0.3;
  double hz = 220.0;  // 0: a drum
  double level = 0.2;
  double decay_per_s = 0.0;
  int harmonics = 8;
  double slope = 1.0;  // amplitude of harmonic h: h^-slope
  double vibrato_percent = 0.0;
  double attack_s = 0.005;
  bool sampled = false;  // the same sound each time: a machine plays it
  double colour = 0.5;   // of a drum: the pole of its low-pass
};

class Score {
 public:
  explicit Score(std::uint64_t seed) : random_(seed) {}
  double uniform(double from, double to) { return std::uniform_real_distribution<>(from, to)(random_); }
  int pick(int count) { return std::uniform_int_distribution<>(0, count - 1)(random_); }
  // A note of a seven-note scale.
  double scale_hz(double lowest_hz, int degrees) {
    constexpr std::array<int, 7> kScale{0, 2, 3, 5, 7, 8, 10};
    const int degree = pick(degrees);
    return lowest_hz * std::pow(2.0, (12 * (degree / 7) + kScale[static_cast<std::size_t>(degree % 7)]) / 12.0);
  }
  std::vector<Note> notes;

 private:
  std::mt19937_64 random_;
};

void chords(Score& score, double seconds, double beat_s, double level, double decay) {
  for (double t = 0.0; t < seconds; t += 2.0 * beat_s)
    for (int voice = 0; voice < 4; ++voice)
      score.notes.push_back({t, 1.9 * beat_s, score.scale_hz(130.0, 14), level, decay, 10, 1.2, 0.0, 0.02});
}
void melody(Score& score, double seconds, double beat_s, double level, double vibrato, int harmonics) {
  for (double t = 0.0; t < seconds;) {
    const double length = beat_s * (1 + score.pick(3)) * 0.5;
    if (score.uniform(0.0, 1.0) < 0.9)
      score.notes.push_back({t, 0.95 * length, score.scale_hz(330.0, 12), level, 0.5, harmonics, 1.1, vibrato, 0.03});
    t += length;
  }
}
void bass(Score& score, double seconds, double beat_s) {
  for (double t = 0.0; t < seconds; t += beat_s)
    score.notes.push_back({t, 0.8 * beat_s, score.scale_hz(55.0, 7), 0.3, 3.0, 12, 1.0, 0.0, 0.005});
}
void drums(Score& score, double seconds, double beat_s, bool sampled, double surprise) {
  int step = 0;
  for (double t = 0.0; t < seconds; t += 0.5 * beat_s, ++step) {
    const bool fill = score.uniform(0.0, 1.0) < surprise;
    if (step % 4 == 0 || fill) score.notes.push_back({t, 0.2, 0.0, 0.9, 25.0, 0, 0, 0, 0, sampled, 0.97});
    if (step % 4 == 2) score.notes.push_back({t, 0.2, 0.0, 0.5, 22.0, 0, 0, 0, 0, sampled, 0.6});
    score.notes.push_back({t, 0.06, 0.0, 0.15, 70.0, 0, 0, 0, 0, sampled, 0.1});
  }
}
void struck(Score& score, double seconds, double beat_s, double decay, int voices, int harmonics) {
  for (double t = 0.0; t < seconds; t += 0.5 * beat_s)
    for (int voice = 0; voice < voices; ++voice)
      if (score.uniform(0.0, 1.0) < 0.7)
        score.notes.push_back({t, 1.5, score.scale_hz(110.0, 24), 0.2, decay, harmonics, 1.3, 0.0, 0.003});
}
void syllables(Score& score, double seconds) {
  for (double t = 0.0; t < seconds;) {
    const double length = score.uniform(0.08, 0.25);
    if (score.uniform(0.0, 1.0) < 0.7)
      score.notes.push_back({t, length, score.uniform(100.0, 180.0), 0.2, 0.0, 24, 0.4, 1.5, 0.02});
    else
      score.notes.push_back({t, length, 0.0, 0.15, 8.0, 0, 0, 0, 0, false, 0.1});
    t += length + (score.uniform(0.0, 1.0) < 0.15 ? score.uniform(0.2, 0.5) : 0.02);
  }
}

std::vector<Note> score_of(Manner manner, double seconds, std::uint64_t seed) {
  Score score(seed);
  const double beat_s = score.uniform(0.35, 0.6);
  switch (manner) {
    case Manner::chords: chords(score, seconds, beat_s, 0.15, 0.3); break;
    case Manner::melody:
      melody(score, seconds, beat_s, 0.3, 0.0, 10);
      bass(score, seconds, beat_s);
      break;
    case Manner::drums_and_bass:
      drums(score, seconds, beat_s, false, 0.2);
      bass(score, seconds, beat_s);
      break;
    case Manner::noisy:
      chords(score, seconds, beat_s, 0.1, 0.3);
      drums(score, seconds, 0.7 * beat_s, false, 0.5);
      break;
    case Manner::loop: {
      const double bar_s = 8.0 * beat_s;  // one bar of band, again and again, a melody above it
      struck(score, bar_s, beat_s, 4.0, 2, 8);
      const auto bar = score.notes;
      for (double t = bar_s; t < seconds; t += bar_s)
        for (Note note : bar) {
          note.at_s += t;
          score.notes.push_back(note);
        }
      melody(score, seconds, 1.5 * beat_s, 0.12, 0.0, 8);
      break;
    }
    case Manner::drum_machine:
      drums(score, seconds, beat_s, true, 0.06);
      bass(score, seconds, beat_s);
      break;
    case Manner::flute: melody(score, seconds, 1.4 * beat_s, 0.4, 0.8, 4); break;
    case Manner::piano: struck(score, seconds, beat_s, 2.5, 2, 10); break;
    case Manner::pad:
      chords(score, seconds, 3.0 * beat_s, 0.12, 0.0);
      chords(score, seconds, 4.1 * beat_s, 0.12, 0.0);
      break;
    case Manner::speech_like: syllables(score, seconds); break;
    case Manner::plucked: struck(score, seconds, 0.6 * beat_s, 6.0, 1, 14); break;
    case Manner::band:
      chords(score, seconds, beat_s, 0.08, 0.5);
      melody(score, seconds, beat_s, 0.2, 0.4, 10);
      bass(score, seconds, beat_s);
      drums(score, seconds, beat_s, false, 0.1);
      break;
  }
  return score.notes;
}

void play_drum(const Note& note, std::vector<float>& to, std::size_t first, std::mt19937_64& random) {
  std::normal_distribution<> gaussian;
  double state = 0.0;
  const std::size_t last = std::min(to.size(), first + static_cast<std::size_t>(note.length_s * kPieceRate_hz));
  for (std::size_t n = first; n < last; ++n) {
    state = note.colour * state + std::sqrt(1.0 - note.colour * note.colour) * gaussian(random);
    const double t = static_cast<double>(n - first) / kPieceRate_hz;
    to[n] += static_cast<float>(note.level * state * std::exp(-note.decay_per_s * t));
  }
}

void play_note(const Note& note, double cents, std::vector<float>& to, std::size_t first, std::mt19937_64& random) {
  std::uniform_real_distribution<> uniform(0.0, 1.0);
  const std::size_t last = std::min(to.size(), first + static_cast<std::size_t>(note.length_s * kPieceRate_hz));
  const double hz = note.hz * std::pow(2.0, cents / 1200.0);
  const double vibrato_hz = 5.0 + uniform(random);
  const double vibrato_phase = kTau * uniform(random);
  for (int h = 1; h <= note.harmonics && h * hz < 9000.0; ++h) {
    const double amplitude = note.level * std::pow(h, -note.slope);
    const double start = kTau * uniform(random);
    std::complex<double> turn = std::polar(1.0, start);
    const std::complex<double> step = std::polar(1.0, kTau * h * hz / kPieceRate_hz);
    for (std::size_t n = first; n < last; ++n) {
      const double t = static_cast<double>(n - first) / kPieceRate_hz;
      const double left = static_cast<double>(last - n) / kPieceRate_hz;
      const double gain = std::min({1.0, t / note.attack_s, left / 0.02}) * std::exp(-note.decay_per_s * h * 0.5 * t);
      double value = turn.imag();
      if (note.vibrato_percent > 0.0) {
        const double bend =
            h * hz * note.vibrato_percent / 100.0 / vibrato_hz * std::sin(kTau * vibrato_hz * t + vibrato_phase);
        value = std::sin(std::arg(turn) + bend);
      }
      to[n] += static_cast<float>(amplitude * gain * value);
      turn *= step;
    }
  }
}
}  // namespace

std::string_view name_of(Manner manner) {
  constexpr std::array<std::string_view, kManners> kNames{"chords", "melody",       "drums_and_bass", "noisy",
                                                          "loop",   "drum_machine", "flute",          "piano",
                                                          "pad",    "speech_like",  "plucked",        "band"};
  return kNames[static_cast<std::size_t>(manner)];
}

std::vector<float> play_piece(Manner manner, double seconds, std::uint64_t score_seed, const Performer& performer) {
  std::vector<float> to(static_cast<std::size_t>(seconds * kPieceRate_hz));
  std::mt19937_64 random(performer.seed);
  std::normal_distribution<> gaussian;
  for (const Note& note : score_of(manner, seconds, score_seed)) {
    const double at_s = std::max(0.0, note.at_s + performer.timing_s * gaussian(random));
    const auto first = static_cast<std::size_t>(at_s * kPieceRate_hz);
    if (first >= to.size()) continue;
    std::mt19937_64 fixed(static_cast<std::uint64_t>(note.colour * 1000.0) + 1000 * performer.seed);
    if (note.hz <= 0.0)
      play_drum(note, to, first, note.sampled ? fixed : random);
    else
      play_note(note, performer.pitch_cents * gaussian(random), to, first, random);
  }
  double square = 1e-12;
  for (const float sample : to) square += static_cast<double>(sample) * sample;
  const double gain = 0.1 / std::sqrt(square / static_cast<double>(to.size()));
  for (float& sample : to) sample = static_cast<float>(sample * gain);
  return to;
}

}  // namespace four76::scenes
