#include "tests/endurance/ordeal.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>
#include <optional>
#include <random>
#include <vector>

#include "core/demo/tape_simulator.hpp"
#include "core/records/card.hpp"
#include "tests/endurance/counted_memory.hpp"
#include "tests/endurance/faults.hpp"
#include "tests/endurance/page_double.hpp"

namespace four76::test {
namespace {

constexpr std::size_t kBlockFrames = 2048;  // as the worklet's
constexpr double kNear_percent = 0.1;       // a good reading of this machine, whatever its ± says
constexpr double kSoon_s = 8.0;             // a device that is opened anew drops its first second
constexpr double kSettles_s = 2.0;          // after a turn of some percent, the wow's own course unknown yet
constexpr double kAtOnce_s = 0.5;           // in which the dial answers, so to a fault as well
constexpr double kLongestVisit_s = 40.0;    // of the six seconds that one asks for, with a fault in between
constexpr std::size_t kMostComplaints = 20;
constexpr int kWarmUpRounds = 2;  // in which every buffer gets its size

struct Input {
  double rate_hz = 48000.0;
  int channels = 1;
};
constexpr Input kFirst{}, kSecond{44100.0, 1}, kThird{96000.0, 2}, kHeadset{16000.0, 1};

// A deck that is well, so that what is off is the fault's doing.
TapeSimulator::Config deck(const Input& input, double trim_percent, std::uint64_t seed) {
  TapeSimulator::Config config;
  config.sample_rate_hz = input.rate_hz;
  config.channels = input.channels;
  config.tone_hz = 3150.0;
  config.trim_percent = trim_percent;
  config.capstan_peak_percent = config.roller_peak_percent = config.reel_peak_percent = 0.03;
  config.belt_peak_percent = 0.02;
  config.belt_second_percent = 0.01;
  config.random_rms_percent = 0.005;
  config.seed = seed;
  return config;
}

class Ordeal {
 public:
  explicit Ordeal(const OrdealConfig& config);
  OrdealFigures run();

 private:
  void suffer(const Fault& fault, FaultFigures& figures);
  void begin(const Fault& fault);
  void end(const Fault& fault);
  void come_back(const Fault& fault, FaultFigures& figures);
  void measure();
  void finish_measuring();
  void look_at_visits();

  void open_page();
  void listen(const Input& input);
  void connect(const Input& input);
  void turn();
  void play(double seconds, Sound sound, bool draws);
  void play_block(Sound sound, bool draws);
  bool shape_block(Sound sound);
  [[nodiscard]] bool reads_right() const;
  void never_wrong();
  void complain(std::string what);

  OrdealConfig config_;
  OrdealFigures figures_;
  std::mt19937_64 chance_;
  Device device_;
  std::optional<PageDouble> page_;
  Input input_ = kFirst;
  double trim_percent_ = 0.0;
  std::optional<TapeSimulator> tape_;
  std::vector<float> block_;
  double clock_s_ = 1000.0;  // the browser's; a device has been on for a while
  double passed_s_ = 0.0;
  double right_s_ = 0.0;   // when there was no wrong reading
  double turned_s_ = 0.0;  // when the trimmer was: the dial follows within a second
};

Ordeal::Ordeal(const OrdealConfig& config) : config_(config), chance_(config.seed) {
  for (const Fault& fault : all_faults()) figures_.faults.push_back({fault.name});
  block_.reserve(2 * kBlockFrames);
  device_.visits.reserve(4);
  open_page();
  page_->change("tone", "3150");
  page_->change("visit-seconds", "6");
}

OrdealFigures Ordeal::run() {
  turn();
  listen(kFirst);
  play(15.0, Sound::tape, true);
  while (passed_s_ < config_.seconds) {
    for (std::size_t i = 0; i < all_faults().size(); ++i) suffer(all_faults()[i], figures_.faults[i]);
    turn();
    measure();
    finish_measuring();
    ++figures_.rounds;
    if (figures_.rounds == kWarmUpRounds) figures_.held_bytes = figures_.most_held_bytes = held_bytes();
    if (figures_.rounds > kWarmUpRounds) figures_.most_held_bytes = std::max(figures_.most_held_bytes, held_bytes());
  }
  if (page_->updates_taken() > 0) complain("an update was taken while it listened");
  figures_.seconds = passed_s_;
  return figures_;
}

// In one case of three in the middle of a measurement.
void Ordeal::suffer(const Fault& fault, FaultFigures& figures) {
  if (chance_() % 3 == 0) measure();
  play(2.0, Sound::tape, true);
  begin(fault);
  play(fault.lasts_s, fault.sound, fault.draws);
  if (!fault.says.empty() && !page_->says(fault.says)) complain(std::string(fault.name) + ": not said");
  end(fault);
  come_back(fault, figures);
  finish_measuring();
  play(config_.quiet_s, Sound::tape, true);
}

void Ordeal::begin(const Fault& fault) {
  clock_s_ += fault.clock_jump_s;
  if (fault.begins) page_->happens(browser::CaptureInterrupted{*fault.begins});
  switch (fault.happening) {
    case Happening::nothing: break;
    case Happening::device_ends:
      page_->happens(browser::CaptureInterrupted{browser::Interruption::device_ended});
      break;
    case Happening::device_chosen:
      page_->change("device", page_->model().settings.device_id == "one" ? "another" : "one");
      connect(kThird);
      break;
    case Happening::headset:
      page_->press("act-stop");
      listen(kHeadset);
      break;
    case Happening::page_dies: open_page(); break;
    case Happening::storage_full: page_->change("cards", "full"); break;
    case Happening::drawing_lost: page_->happens(browser::DrawingLost{}); break;
    case Happening::update_comes:
      page_->happens(browser::UpdateReady{});
      page_->press("act-update");
      break;
  }
}

void Ordeal::end(const Fault& fault) {
  if (fault.ends) page_->happens(browser::CaptureInterrupted{*fault.ends});
  switch (fault.happening) {
    case Happening::device_ends: listen(kSecond); break;
    case Happening::headset:
    case Happening::page_dies: listen(kFirst); break;
    case Happening::storage_full: page_->change("cards", "kept"); break;
    case Happening::drawing_lost: page_->happens(browser::DrawingRestored{}); break;
    case Happening::nothing:
    case Happening::device_chosen:
    case Happening::update_comes: break;
  }
}

void Ordeal::come_back(const Fault& fault, FaultFigures& figures) {
  const double ended_s = passed_s_;
  do {
    play_block(Sound::tape, true);
  } while (!reads_right() && passed_s_ - ended_s < 4.0 * kSoon_s);
  const double took_s = passed_s_ - ended_s;
  ++figures.times;
  figures.slowest_s = std::max(figures.slowest_s, took_s);
  if (took_s > kSoon_s) complain(std::string(fault.name) + ": no good reading for " + std::to_string(took_s) + " s");
  if (!fault.says.empty() && fault.happening != Happening::update_comes && page_->says(fault.says))
    complain(std::string(fault.name) + ": said when it is over");
}

// ---- What is kept ---------------------------------------------------------------------------------------------------

void Ordeal::measure() {
  finish_measuring();
  page_->press("act-as-found");
  if (!page_->model().measure_run) complain("no measurement began");
}

// A page or a device that goes takes what was under way with it, and nothing else.
void Ordeal::finish_measuring() {
  const double began_s = passed_s_;
  while (page_->model().measure_run && page_->model().measure_run->stage == MeasureRun::Stage::listening &&
         passed_s_ - began_s < kLongestVisit_s)
    play_block(Sound::tape, true);
  if (passed_s_ - began_s >= kLongestVisit_s) complain("a measurement did not end");
  look_at_visits();
}

void Ordeal::look_at_visits() {
  for (const std::string& json : device_.visits) {
    std::string named = json;  // the page gives it a name and a day
    named.insert(named.find('{') + 1, R"("id":"one","time":"2026-11-28 03:30",)");
    const auto read =
        read_cards(R"({"schema":"four76.cards/1","cards":[{"id":"deck","name":"deck","visits":[)" + named + "]}]}");
    const bool whole =
        read && read->set_aside.empty() && read->cards.cards.size() == 1 && read->cards.cards[0].visits.size() == 1;
    if (!whole) {
      complain("a visit cannot be read: " + named.substr(0, 200));
      continue;
    }
    const auto speed = speed_of(read->cards.cards[0].visits[0]);
    const double off_percent = speed ? std::fabs(speed->percent - trim_percent_) : 0.0;
    if (!speed) complain("a visit without a speed");
    if (speed && off_percent > std::max(0.02, 1.5 * speed->u95_percent))
      complain("a visit is " + std::to_string(off_percent) + " % off");
    ++figures_.visits;
  }
  device_.visits.clear();
}

// ---- The page and its microphone ------------------------------------------------------------------------------------

// With what the device kept of the settings.
void Ordeal::open_page() {
  const bool anew = page_.has_value();
  const Settings before = anew ? page_->model().settings : Settings{};
  page_.reset();  // one at a time hears
  page_.emplace(device_);
  if (anew && page_->model().settings != before) complain("a setting was lost");
}

void Ordeal::listen(const Input& input) {
  page_->press("act-listen");
  connect(input);
}

void Ordeal::connect(const Input& input) {
  if (!page_->wants_capture()) return complain("the microphone is not asked for");
  input_ = input;
  tape_.emplace(deck(input, trim_percent_, chance_()));
  browser::CaptureStarted started;
  started.sample_rate_hz = input.rate_hz;
  started.channels = input.channels;
  page_->happens(started);
}

void Ordeal::turn() {
  trim_percent_ = std::uniform_real_distribution(-1.5, 1.5)(chance_);
  turned_s_ = passed_s_;
  if (tape_) tape_->set_trim_percent(trim_percent_);
  play(tape_ ? 12.0 : 0.0, Sound::tape, true);
}

void Ordeal::play(double seconds, Sound sound, bool draws) {
  for (const double until_s = passed_s_ + seconds; passed_s_ < until_s;) play_block(sound, draws);
}

void Ordeal::play_block(Sound sound, bool draws) {
  block_.resize(kBlockFrames * static_cast<std::size_t>(input_.channels));
  tape_->render(block_);
  const double lasts_s = static_cast<double>(kBlockFrames) / input_.rate_hz;
  clock_s_ += lasts_s;
  passed_s_ += lasts_s;
  if (shape_block(sound) && page_->wants_capture()) page_->hears(block_, input_.channels);
  if (!draws) return;
  page_->frame(clock_s_);
  never_wrong();
}

// False where no block arrives.
bool Ordeal::shape_block(Sound sound) {
  constexpr std::size_t kUnderrun = 441, kOverrun = 300;  // frames (facts: browser audio)
  const auto step = static_cast<std::size_t>(input_.channels);
  switch (sound) {
    case Sound::tape: break;
    case Sound::nothing: return false;
    case Sound::zeros: std::fill(block_.begin(), block_.end(), 0.0F); break;
    case Sound::not_numbers: std::fill(block_.begin(), block_.end(), std::numeric_limits<float>::quiet_NaN()); break;
    case Sound::zero_runs: std::fill_n(block_.begin(), kUnderrun * step, 0.0F); break;
    case Sound::losses: block_.resize(block_.size() - kOverrun * step); break;
    case Sound::overdriven:
      for (float& sample : block_) sample = std::clamp(10.0F * sample, -1.0F, 1.0F);
      break;
    case Sound::hiss:
      for (float& sample : block_) sample = 1e-3F * std::uniform_real_distribution(-1.0F, 1.0F)(chance_);
      break;
  }
  return true;
}

// ---- Judging --------------------------------------------------------------------------------------------------------

bool Ordeal::reads_right() const {
  const Reading* const reading = shown_reading(page_->model());
  return trust(page_->model()) == Trust::good && reading && reading->speed_error_percent &&
         std::fabs(*reading->speed_error_percent - trim_percent_) < kNear_percent;
}

void Ordeal::never_wrong() {
  const bool good = trust(page_->model()) == Trust::good && passed_s_ - turned_s_ >= kSettles_s;
  double off_percent = 0.0, allowed_percent = kNear_percent;
  if (good) {
    const Reading& reading = *shown_reading(page_->model());
    off_percent = std::fabs(*reading.speed_error_percent - trim_percent_);
    allowed_percent = std::max(kNear_percent, 3.0 * reading.u95_percent.value_or(0.0));
    ++figures_.good_readings;
  }
  if (off_percent <= allowed_percent) {
    right_s_ = passed_s_;
    return;
  }
  const double wrong_s = passed_s_ - right_s_;
  figures_.longest_wrong_s = std::max(figures_.longest_wrong_s, wrong_s);
  if (wrong_s > kAtOnce_s) complain("a good reading is " + std::to_string(off_percent) + " % off");
}

void Ordeal::complain(std::string what) {
  ++figures_.complaint_count;
  if (figures_.complaints.size() < kMostComplaints)
    figures_.complaints.push_back("at " + std::to_string(passed_s_) + " s: " + std::move(what));
}

}  // namespace

OrdealFigures go_through(const OrdealConfig& config) { return Ordeal(config).run(); }

}  // namespace four76::test
