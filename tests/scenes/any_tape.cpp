// four76_any_tape SEED MUSIC [--table FILE] [--svg FILE] [--jobs N]: recorded music on worn machines, without a speed
// tape and without the song as a file. MUSIC is the folder into which tests/music unpacks the recordings of
// tests/data/music.txt; one that is missing is a fault.
//
// Each piece is played at two speeds from -6 to +6 %, each time by another portable in another room. Promised; the
// status is 1 where one does not hold:
// - two speeds of one piece differ by what was set within 0.04 % in the median and 0.15 % in nine of ten;
// - the truth lies within the ± of a candidate in 95 of 100 cases, less what chance takes in 99 runs of 100;
// - one piece is known to 0.8 % in the median, eight of them to 0.35 %;
// - where the listener says how it sounds, a speed that is called measured holds its ± as often;
// - speech, noise, drums and glides say no speed.
// And twice more, once with one line of wow and once steady: what is promised of that stands in tape_wow.cpp.
#include <sndfile.h>
#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <fstream>
#include <memory>
#include <numbers>
#include <optional>
#include <random>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include "core/tapes/posterior_picture.hpp"
#include "core/tapes/speed_posterior.hpp"
#include "core/tapes/tape_session.hpp"
#include "tests/scenes/convolve.hpp"
#include "tests/scenes/no_scale.hpp"
#include "tests/scenes/promises.hpp"
#include "tests/scenes/resample.hpp"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"
#include "tests/scenes/speech.hpp"
#include "tests/scenes/tape.hpp"
#include "tests/scenes/tape_wow.hpp"

namespace four76::scenes {
namespace {

constexpr double kTape_s = 40.0;
constexpr double kCapture_hz = 24000.0;

struct Recording {
  std::string maker, file;  // the package stands for the maker
};

std::vector<Recording> recordings(const std::string& folder) {
  std::ifstream list(std::string(FOUR76_TEST_DATA) + "/music.txt");
  std::vector<Recording> all;
  for (std::string line; std::getline(list, line);) {
    if (line.empty() || line.front() == '#') continue;
    const auto space = line.find(' ');
    all.push_back({line.substr(0, space), folder + "/" + line.substr(0, space) + line.substr(space + 1)});
  }
  if (all.empty()) throw std::runtime_error("there is no list of recordings, tests/data/music.txt");
  return all;
}

// Mixed to one channel, at kPieceRate_hz: so many seconds from there on.
std::vector<float> stretch_of(const std::string& file, double from_s, double seconds) {
  SF_INFO info{};
  const std::unique_ptr<SNDFILE, decltype(&sf_close)> sound(sf_open(file.c_str(), SFM_READ, &info), sf_close);
  if (!sound) throw std::runtime_error(file + " cannot be read: run tests/music");
  const auto channels = static_cast<std::size_t>(info.channels);
  const auto first = static_cast<long long>(from_s * info.samplerate);
  const auto last = first + static_cast<long long>(seconds * info.samplerate);
  std::vector<float> mono, block(channels * 4096);
  long long at = 0;
  for (sf_count_t got = 0; at < last && (got = sf_readf_float(sound.get(), block.data(), 4096)) > 0;)
    for (std::size_t n = 0; n < static_cast<std::size_t>(got); ++n, ++at) {
      if (at < first || at >= last) continue;
      float sum = 0.0F;
      for (std::size_t c = 0; c < channels; ++c) sum += block[n * channels + c];
      mono.push_back(sum / static_cast<float>(channels));
    }
  return resample(mono, info.samplerate, kPieceRate_hz);
}

// A phone 20 to 50 cm from the machine: the room's tail lies 4 to 12 dB under what comes straight (of our own
// choosing).
std::vector<float> in_a_room(const std::vector<float>& samples, std::mt19937_64& random) {
  std::uniform_real_distribution<> decay_s(0.15, 0.5), under_db(4.0, 12.0);
  const double rt60_s = decay_s(random);
  std::vector<double> response(static_cast<std::size_t>(rt60_s * kCapture_hz));
  std::normal_distribution<> gaussian;
  double power = 0.0;
  for (std::size_t n = 0; n < response.size(); ++n) {
    response[n] = gaussian(random) * std::pow(10.0, -3.0 * static_cast<double>(n) / (rt60_s * kCapture_hz));
    power += response[n] * response[n];
  }
  const double gain = std::pow(10.0, -under_db(random) / 20.0) / std::sqrt(power);
  for (double& one : response) one *= gain;
  response.front() += 1.0;
  return convolve(samples, response);
}

TapeFindings listen(std::span<const float> samples) {
  TapeSession session({.sample_rate_hz = kCapture_hz});
  session.process(samples);
  return session.findings();
}

double mean_speed_percent(const SongTape& tape) {
  // Of the position at the end of the tape, as song_tape.cpp has it.
  double at = tape.seconds;
  for (const Sinusoid& wow : tape.wow)
    at += wow.peak_percent / 100.0 / (2.0 * std::numbers::pi * wow.rate_hz) *
          (std::cos(wow.phase) - std::cos(2.0 * std::numbers::pi * wow.rate_hz * tape.seconds + wow.phase));
  return 100.0 * ((1.0 + tape.error_percent / 100.0) * at / tape.seconds - 1.0);
}

struct Played {
  double truth_percent = 0.0;
  TapeFindings findings;
};

Played play(std::span<const float> piece, const std::vector<Sinusoid>& wow, std::mt19937_64& random) {
  std::uniform_real_distribution<> unit;
  SongTape tape;
  tape.error_percent = -6.0 + 12.0 * unit(random);
  tape.wow = wow;
  tape.from_s = 1.0;
  tape.seconds = kTape_s;
  tape.rate_hz = kCapture_hz;
  tape.low_hz = 80.0 + 100.0 * unit(random);
  tape.high_hz = 5000.0 + 5000.0 * unit(random);
  tape.signal_to_noise_db = 15.0 + 25.0 * unit(random);
  tape.reverberation_s = 0.0;
  tape.seed = random();
  const double truth = mean_speed_percent(tape);
  return {.truth_percent = truth, .findings = listen(in_a_room(record(piece, tape), random))};
}

Played play_on_a_portable(std::span<const float> piece, std::mt19937_64& random) {
  std::uniform_real_distribution<> unit;
  Tape machine;
  add_portable_wow(machine, 0.1 + 0.3 * unit(random), kTape_s, random);
  return play(piece, machine.wow, random);
}

WowTape play_wow(std::span<const float> piece, std::vector<Sinusoid> wow, std::mt19937_64& random) {
  TapeFindings findings = play(piece, wow, random).findings;
  return {.wow = std::move(wow), .findings = std::move(findings)};
}

bool carries_pitch(const TapeFindings& findings) { return !findings.evidence.empty(); }

bool holds(const SpeedAnswer& answer, double truth_percent) {
  return std::any_of(answer.candidates.begin(), answer.candidates.end(), [&](const SpeedCandidate& one) {
    return std::abs(one.speed_error_percent - truth_percent) <= one.u95_percent;
  });
}

// The candidate nearest to the truth.
const SpeedCandidate& nearest(const SpeedAnswer& answer, double truth_percent) {
  const auto apart = [&](const SpeedCandidate& one) { return std::abs(one.speed_error_percent - truth_percent); };
  return *std::min_element(answer.candidates.begin(), answer.candidates.end(),
                           [&](const auto& a, const auto& b) { return apart(a) < apart(b); });
}

double quantile(std::vector<double> values, double share) {
  if (values.empty()) return NAN;
  std::sort(values.begin(), values.end());
  return values[std::min(values.size() - 1, static_cast<std::size_t>(share * static_cast<double>(values.size())))];
}

// A listener who knows the song: a third of a semitone is told (common practice: 2 %).
SoundsLike heard_as(double percent) {
  return percent < -2.0 ? SoundsLike::slow : percent > 2.0 ? SoundsLike::fast : SoundsLike::right;
}

// The same tape on a machine of another speed: its notes move with it.
TapeFindings at_speed(const Played& played, double percent) {
  TapeFindings moved = played.findings;
  for (Evidence& evidence : moved.evidence) {
    evidence.measured_hz *= (1.0 + percent / 100.0) / (1.0 + played.truth_percent / 100.0);
    const double semitones = 12.0 * std::log2(evidence.measured_hz / evidence.nominal_hz);
    if (evidence.kind == EvidenceKind::concert_pitch)
      evidence.measured_hz = evidence.nominal_hz * std::exp2((semitones - std::round(semitones)) / 12.0);
  }
  return moved;
}

struct Nothing {
  std::string kind;
  int tried = 0, said = 0;
};

std::vector<Nothing> play_nothing(std::uint64_t seed) {
  std::vector<Nothing> all{{.kind = "speech"}, {.kind = "noise"}, {.kind = "drums"}, {.kind = "glides"}};
  const auto try_one = [](Nothing& nothing, std::span<const float> samples) {
    ++nothing.tried;
    nothing.said += speed_from(std::vector{listen(samples)}, {}).status != TapeStatus::none ? 1 : 0;
  };
  std::mt19937_64 random(seed);
  for (int i = 0; i < speech_count(); ++i) {
    std::vector<float> talk;
    const auto& clip = speech_clip(i, kCapture_hz);
    while (static_cast<double>(talk.size()) < kTape_s * kCapture_hz) talk.insert(talk.end(), clip.begin(), clip.end());
    for (float& sample : talk) sample *= 0.1F;
    try_one(all[0], talk);
  }
  std::normal_distribution<float> gaussian(0.0F, 0.1F);
  for (int i = 0; i < 20; ++i) {
    std::vector<float> noise(static_cast<std::size_t>(kTape_s * kCapture_hz));
    for (float& sample : noise) sample = gaussian(random);
    try_one(all[1], noise);
    try_one(all[2], drums(kTape_s, kCapture_hz, random));
    try_one(all[3], glides(kTape_s, kCapture_hz, random));
  }
  return all;
}

struct Pair {
  std::optional<Played> one, other;
  std::vector<WowTape> wow;  // with a line, and steady
};

std::vector<Pair> play_all(const std::vector<Recording>& pieces, std::uint64_t seed, int jobs) {
  std::vector<Pair> pairs(pieces.size());
  std::atomic<std::size_t> next = 0;
  std::exception_ptr fault;
  std::vector<std::thread> threads;
  for (int job = 0; job < jobs; ++job)
    threads.emplace_back([&] {
      try {
        for (std::size_t i = next++; i < pieces.size(); i = next++) {
          std::mt19937_64 random(seed * 1000003 + i);
          const auto piece = stretch_of(pieces[i].file, 5.0 + 15.0 * std::uniform_real_distribution<>()(random), 48.0);
          pairs[i].one = play_on_a_portable(piece, random);
          pairs[i].other = play_on_a_portable(piece, random);
          const auto line = one_line_of_wow(random);
          pairs[i].wow.push_back(play_wow(piece, line, random));
          pairs[i].wow.push_back(play_wow(piece, {}, random));
        }
      } catch (...) {
        fault = std::current_exception();
      }
    });
  for (std::thread& thread : threads) thread.join();
  if (fault) std::rethrow_exception(fault);
  return pairs;
}

struct Figures {
  int pieces = 0, makers = 0, with_pitch = 0, without = 0;
  std::vector<double> differences, one_u95, eight_u95;
  std::vector<double> one_ratio, eight_ratio;  // error over half-width
  int held_one = 0, held_eight = 0, eight = 0;
  int said = 0, measured = 0, held_measured = 0;
  std::vector<Nothing> nothing;
  WowFigures wow;
};

void note_nearest(const SpeedAnswer& answer, double truth_percent, std::vector<double>& u95,
                  std::vector<double>& ratio) {
  const SpeedCandidate& candidate = nearest(answer, truth_percent);
  u95.push_back(candidate.u95_percent);
  ratio.push_back((candidate.speed_error_percent - truth_percent) / candidate.u95_percent);
}

double rms(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double value : values) sum += value * value;
  return std::sqrt(sum / static_cast<double>(values.size()));
}

constexpr int kVotes = 200;

Figures count(const std::vector<Recording>& pieces, const std::vector<Pair>& pairs, std::uint64_t seed,
              std::string* picture) {
  Figures figures;
  figures.pieces = static_cast<int>(pieces.size());
  std::vector<std::string> makers;
  for (const Recording& piece : pieces)
    if (std::find(makers.begin(), makers.end(), piece.maker) == makers.end()) makers.push_back(piece.maker);
  figures.makers = static_cast<int>(makers.size());
  std::vector<const Played*> with_pitch;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    for (const auto* played : {&*pairs[i].one, &*pairs[i].other}) {
      if (!carries_pitch(played->findings)) {
        ++figures.without;
        continue;
      }
      ++figures.with_pitch;
      with_pitch.push_back(played);
      const auto answer = speed_from(std::span(&played->findings, 1), {});
      note_nearest(answer, played->truth_percent, figures.one_u95, figures.one_ratio);
      figures.held_one += holds(answer, played->truth_percent) ? 1 : 0;
      const auto told = speed_from(std::span(&played->findings, 1), {}, 0.5, heard_as(played->truth_percent));
      ++figures.said;
      if (told.status == TapeStatus::measured) {
        ++figures.measured;
        figures.held_measured += holds(told, played->truth_percent) ? 1 : 0;
      }
      std::printf("%-28s %s set %+6.3f  A %7.2f  ±%.3f  %s\n", pieces[i].maker.c_str(),
                  pieces[i].file.substr(pieces[i].file.rfind('/') + 1).c_str(), played->truth_percent,
                  played->findings.evidence.front().measured_hz / (1.0 + played->truth_percent / 100.0),
                  played->findings.evidence.front().measured_u95_percent,
                  holds(answer, played->truth_percent) ? "" : "MISSED");
    }
    if (carries_pitch(pairs[i].one->findings) && carries_pitch(pairs[i].other->findings)) {
      const auto cents = [](const Played& played) {
        return 1200.0 *
               std::log2(played.findings.evidence.front().measured_hz / 440.0 / (1.0 + played.truth_percent / 100.0));
      };
      const double apart = cents(*pairs[i].one) - cents(*pairs[i].other);
      figures.differences.push_back(0.0577789 * std::abs(apart - 100.0 * std::round(apart / 100.0)));
    }
  }
  std::vector<WowTape> wow;
  for (const Pair& pair : pairs) wow.insert(wow.end(), pair.wow.begin(), pair.wow.end());
  figures.wow = count_wow(wow);
  std::mt19937_64 random(seed);
  for (int vote = 0; vote < kVotes && with_pitch.size() >= 8; ++vote) {
    const double set = -6.0 + 12.0 * std::uniform_real_distribution<>()(random);
    std::vector<TapeFindings> tapes;
    std::shuffle(with_pitch.begin(), with_pitch.end(), random);
    for (std::size_t i = 0; i < 8; ++i) tapes.push_back(at_speed(*with_pitch[i], set));
    const auto answer = speed_from(tapes, {});
    ++figures.eight;
    figures.held_eight += holds(answer, set) ? 1 : 0;
    note_nearest(answer, set, figures.eight_u95, figures.eight_ratio);
    if (vote == 0 && picture) *picture = picture_of(answer, tapes, {}, {});
  }
  return figures;
}

std::string row(const char* what, const char* format, auto... values) {
  char text[160], line[320];
  std::snprintf(text, sizeof text, format, values...);
  std::snprintf(line, sizeof line, "| %s | %s |\n", what, text);
  return line;
}

std::string table_of(const Figures& figures) {
  std::string table = "| what | figure |\n| --- | --- |\n";
  table += row("recordings, makers, each at two speeds", "%d, %d", figures.pieces, figures.makers);
  table += row("of the tapes: notes on a scale; none, which is said", "%d; %d", figures.with_pitch, figures.without);
  table += row("two speeds of one piece, difference against what was set: median, nine of ten", "%.3f %%, %.3f %%",
               quantile(figures.differences, 0.5), quantile(figures.differences, 0.9));
  table += row("one piece: ± in the median", "%.2f %%", quantile(figures.one_u95, 0.5));
  table += row("one piece: the truth within the ± of a candidate", "%d of %d", figures.held_one, figures.with_pitch);
  table += row("one piece: RMS of error over ±; 0.51 is exact, less is too wide", "%.2f", rms(figures.one_ratio));
  table += row("one piece and how it sounds: measured, and the truth within the ±", "%d of %d, %d", figures.measured,
               figures.said, figures.held_measured);
  table += row("eight pieces: ± in the median", "%.2f %%", quantile(figures.eight_u95, 0.5));
  table += row("eight pieces: the truth within the ± of a candidate", "%d of %d", figures.held_eight, figures.eight);
  table += row("eight pieces: RMS of error over ±", "%.2f", rms(figures.eight_ratio));
  for (const auto& [what, figure] : wow_rows(figures.wow)) table += row(what.c_str(), "%s", figure.c_str());
  for (const Nothing& nothing : figures.nothing)
    table += row((nothing.kind + " that is given a speed").c_str(), "%d of %d", nothing.said, nothing.tried);
  return table;
}

int promise(const Figures& figures) {
  Promises promises;
  const double median = quantile(figures.differences, 0.5), most = quantile(figures.differences, 0.9);
  promises.keep(median <= 0.04 && most <= 0.15, "two speeds of one piece within 0.04 %% and 0.15 %% (%.3f, %.3f)",
                median, most);
  promises.keep(figures.held_one >= least_held(figures.with_pitch), "one piece: the ± holds in %d of %d",
                figures.held_one, figures.with_pitch);
  promises.keep(figures.held_measured >= least_held(figures.measured), "how it sounds is said: the ± holds in %d of %d",
                figures.held_measured, figures.measured);
  promises.keep(figures.held_eight >= least_held(figures.eight), "eight pieces: the ± holds in %d of %d",
                figures.held_eight, figures.eight);
  promises.keep(quantile(figures.one_u95, 0.5) <= 0.8, "one piece is known to 0.8 %% in the median");
  promises.keep(quantile(figures.eight_u95, 0.5) <= 0.35, "eight pieces are known to 0.35 %% in the median");
  promise_wow(promises, figures.wow);
  for (const Nothing& nothing : figures.nothing)
    promises.keep(nothing.said == 0, "%s says no speed", nothing.kind.c_str());
  return promises.status();
}

// The page gives the picture its colours; a file by itself brings its own.
std::string with_style(std::string svg) {
  const std::string style =
      "<style>text{font:13px sans-serif;fill:#222}path{fill:none;stroke:#555}.axis{stroke:#222}.posterior{fill:#c9a45c;"
      "stroke:#7a5a1a}.pitch{fill:#dfe6ea}.tolerance{fill:#efe6d2}text.posterior,text.pitch{fill:#222;stroke:none}</"
      "style>";
  return svg.insert(svg.find('>') + 1, style + "<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>");
}

}  // namespace
}  // namespace four76::scenes

int main(int argc, char** argv) {
  using namespace four76::scenes;
  const std::vector<std::string> words(argv + 1, argv + argc);
  if (words.size() < 2)
    return std::fprintf(stderr, "four76_any_tape SEED MUSIC [--table FILE] [--svg FILE] [--jobs N]\n"), 2;
  const auto option = [&](const std::string& name) -> std::optional<std::string> {
    const auto at = std::find(words.begin(), words.end(), name);
    return at != words.end() && at + 1 != words.end() ? std::optional(*(at + 1)) : std::nullopt;
  };
  try {
    const std::uint64_t seed = std::strtoull(words[0].c_str(), nullptr, 10);
    const int jobs = std::max(1, std::atoi(option("--jobs").value_or("2").c_str()));
    const auto pieces = recordings(words[1]);
    std::string picture;
    Figures figures = count(pieces, play_all(pieces, seed, jobs), seed, &picture);
    figures.nothing = play_nothing(seed);
    const std::string table = table_of(figures);
    std::printf("\n%s\n", table.c_str());
    if (const auto file = option("--table")) std::ofstream(*file) << table;
    if (const auto file = option("--svg")) std::ofstream(*file) << with_style(picture) << '\n';
    return promise(figures);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "four76_any_tape: %s\n", error.what());
    return 3;
  }
}
