#include "tests/scenes/speech.hpp"

#include <sndfile.h>
#include <unistd.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <mutex>
#include <stdexcept>
#include <string>
#include <utility>

#include "tests/scenes/resample.hpp"

namespace four76::scenes {

namespace {

struct Sentence {
  const char* voice;
  int words_per_minute;
  int pitch;  // 0 to 99
  const char* text;
};

constexpr std::array kSentences = {
    Sentence{"en-us", 165, 50,
             "Good evening. Here is the weather: rain in the west, sunshine in the east, and strong gusts of wind "
             "along the coast until six o'clock."},
    Sentence{"en-gb+f3", 190, 70,
             "Stop that noise, please! I cannot hear a single word she is saying, and the kettle is whistling again."},
    Sentence{"en-gb-scotland+m3", 140, 30,
             "Sixty-six silver spoons sat in the second drawer, and nobody ever asked whose they were."},
    Sentence{"de", 175, 45,
             "Heute sprechen wir ueber alte Geraete, Riemen und Motoren. Zuerst wird die Geschwindigkeit gemessen, "
             "dann stellt man die Schraube ein."},
    Sentence{
        "fr-fr+f2", 200, 60,
        "Bonsoir a tous. Ce soir, nous allons chercher ensemble pourquoi cette musique sonne toujours un peu faux."},
    Sentence{"es", 210, 40, "Y ahora, los deportes: tres goles en diez minutos, y el publico no para de gritar."},
    Sentence{"it+m5", 180, 35, "Aspetta un momento, spengo subito la televisione e poi proviamo un'altra volta."},
    Sentence{"sv+f4", 160, 65, "Sju sjuka sjukskoeterskor skoette sjuttiosju sjuka sjoemaen paa skeppet."},
    Sentence{"pl", 150, 50, "Szesc szarych myszy szybko przebieglo przez szeroka sciezke w strone strumienia."},
    Sentence{"nl+m7", 240, 45,
             "Dames en heren, de trein naar het zuiden vertrekt vandaag van een ander spoor, met tien minuten "
             "vertraging."},
    Sentence{"ru", 170, 55, "Segodnya vecherom budet tikho, a zavtra utrom snova poydyot sneg."},
    Sentence{"en-us+croak", 120, 20, "Once upon a time, in a small house by the sea, there lived a very old radio."},
};

// One file for each sentence, named after all that makes it: changed texts are spoken anew.
std::filesystem::path path_of(const Sentence& s) {
  const std::string all = std::string(s.voice) + s.text + std::to_string(s.words_per_minute * 100 + s.pitch);
  unsigned long long hash = 14695981039346656037ULL;  // FNV-1a
  for (const char c : all) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  return std::filesystem::path(FOUR76_SPEECH_DIR) / (std::to_string(hash) + ".wav");
}

// Into a file of this process first: several may speak at once.
void speak(const Sentence& s, const std::filesystem::path& path) {
  std::filesystem::create_directories(path.parent_path());
  const std::string draft = path.string() + "." + std::to_string(getpid());
  const std::string command = "espeak-ng -v " + std::string(s.voice) + " -s " + std::to_string(s.words_per_minute) +
                              " -p " + std::to_string(s.pitch) + " -w '" + draft + "' \"" + s.text + "\" 2>&1";
  // NOLINTNEXTLINE(bugprone-command-processor): the words are our own constants.
  if (std::system(command.c_str()) != 0 || !std::filesystem::exists(draft))
    throw std::runtime_error("espeak-ng could not speak the sentence in voice " + std::string(s.voice) +
                             ": scenes with speech need it (Debian package espeak-ng)");
  std::filesystem::rename(draft, path);
}

std::pair<std::vector<float>, double> read(const std::filesystem::path& path) {
  SF_INFO info{};
  SNDFILE* file = sf_open(path.c_str(), SFM_READ, &info);
  if (file == nullptr || info.channels != 1 || info.frames < info.samplerate)
    throw std::runtime_error("espeak-ng wrote no speech that can be read: remove the folder 'speech' of the build");
  std::vector<float> samples(static_cast<std::size_t>(info.frames));
  samples.resize(static_cast<std::size_t>(sf_read_float(file, samples.data(), info.frames)));
  sf_close(file);
  return {samples, static_cast<double>(info.samplerate)};
}

std::vector<float> clip(const Sentence& s, double sample_rate_hz) {
  const std::filesystem::path path = path_of(s);
  if (!std::filesystem::exists(path)) speak(s, path);
  const auto [spoken, rate_hz] = read(path);
  std::vector<float> made = resample(spoken, rate_hz, sample_rate_hz);
  double square = 0.0;
  for (const float x : made) square += static_cast<double>(x) * static_cast<double>(x);
  const auto scale = static_cast<float>(1.0 / std::sqrt(square / static_cast<double>(made.size()) + 1e-12));
  for (float& x : made) x *= scale;
  return made;
}

}  // namespace

int speech_count() { return static_cast<int>(kSentences.size()); }

const std::vector<float>& speech_clip(int number, double sample_rate_hz) {
  static std::mutex mutex;
  static std::map<std::pair<int, double>, std::vector<float>> clips;
  const std::lock_guard lock(mutex);
  const auto key = std::make_pair(number, sample_rate_hz);
  const auto found = clips.find(key);
  if (found != clips.end()) return found->second;
  return clips[key] = clip(kSentences.at(static_cast<std::size_t>(number)), sample_rate_hz);
}

}  // namespace four76::scenes
