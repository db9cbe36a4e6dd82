#include "tests/endurance/ordeal.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <random>
#include <string>
#include <string_view>

#include "core/records/card.hpp"
#include "tests/endurance/counted_memory.hpp"
#include "tests/endurance/faults.hpp"
#include "tests/endurance/microphone.hpp"
#include "tests/endurance/page_double.hpp"

namespace four76::test {
namespace {

constexpr double kNear_percent = 0.1;     // a good reading of this machine, whatever its ± says
constexpr double kSoon_s = 8.0;           // a device that is opened anew drops its first second
constexpr double kSettles_s = 2.0;        // after a turn of some percent, the wow's own course unknown yet
constexpr double kAtOnce_s = 0.5;         // in which the dial answers, so to a fault as well
constexpr double kLongestVisit_s = 40.0;  // of the six seconds that one asks for, with a fault in between
constexpr std::size_t kMostComplaints = 20;
constexpr int kWarmUpRounds = 2;  // in which every buffer gets its size

constexpr Input kFirst{}, kSecond{44100.0, 1}, kThird{96000.0, 2}, kHeadset{16000.0, 1};

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
  [[nodiscard]] bool reads_right() const;
  void never_wrong();
  void complain(std::string what);

  OrdealConfig config_;
  OrdealFigures figures_;
  std::mt19937_64 chance_;
  Device device_;
  std::optional<PageDouble> page_;
  std::string_view lately_ = "the beginning";  // what happened last
  Microphone microphone_;
  double clock_s_ = 1000.0;  // the browser's; a device has been on for a while
  double passed_s_ = 0.0;
  double right_s_ = 0.0;   // when there was no wrong reading
  double turned_s_ = 0.0;  // when the trimmer was
};

Ordeal::Ordeal(const OrdealConfig& config) : config_(config), chance_(config.seed), microphone_(config.seed) {
  for (const Fault& fault : all_faults()) figures_.faults.push_back({fault.name});
  device_.visits.reserve(4);
  open_page();
  page_->change("tone", "3150");
  page_->change("visit-seconds", "6");
}

OrdealFigures Ordeal::run() {
  listen(kFirst);
  turn();
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
  lately_ = fault.name;
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
  if (!page_->model().machine.run) complain("no measurement began");
}

// A page or a device that goes takes what was under way with it, and nothing else.
void Ordeal::finish_measuring() {
  const double began_s = passed_s_;
  while (page_->model().machine.run && page_->model().machine.run->stage == MeasureRun::Stage::listening &&
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
    const double off_percent = speed ? std::fabs(speed->percent - microphone_.trim_percent()) : 0.0;
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
  microphone_.plug(input);
  browser::CaptureStarted started;
  started.sample_rate_hz = input.rate_hz;
  started.channels = input.channels;
  page_->happens(started);
}

void Ordeal::turn() {
  microphone_.turn(std::uniform_real_distribution(-1.5, 1.5)(chance_));
  turned_s_ = passed_s_;
  lately_ = "a turn";
  play(12.0, Sound::tape, true);
}

void Ordeal::play(double seconds, Sound sound, bool draws) {
  for (const double until_s = passed_s_ + seconds; passed_s_ < until_s;) play_block(sound, draws);
}

void Ordeal::play_block(Sound sound, bool draws) {
  const auto block = microphone_.hear(sound);
  clock_s_ += microphone_.block_s();
  passed_s_ += microphone_.block_s();
  if (block && page_->wants_capture()) page_->hears(*block, microphone_.input().channels);
  if (!draws) return;
  page_->frame(clock_s_);
  never_wrong();
}

// ---- Judging --------------------------------------------------------------------------------------------------------

bool Ordeal::reads_right() const {
  const Reading* const reading = shown_reading(page_->model());
  return trust(page_->model()) == Trust::good && reading && reading->speed_error_percent &&
         std::fabs(*reading->speed_error_percent - microphone_.trim_percent()) < kNear_percent;
}

void Ordeal::never_wrong() {
  const bool good = trust(page_->model()) == Trust::good && passed_s_ - turned_s_ >= kSettles_s;
  double off_percent = 0.0, allowed_percent = kNear_percent;
  if (good) {
    const Reading& reading = *shown_reading(page_->model());
    off_percent = std::fabs(*reading.speed_error_percent - microphone_.trim_percent());
    allowed_percent = std::max(kNear_percent, 3.0 * reading.u95_percent.value_or(0.0));
    ++figures_.good_readings;
  }
  if (off_percent <= allowed_percent) {
    right_s_ = passed_s_;
    return;
  }
  const double wrong_s = passed_s_ - right_s_;
  figures_.longest_wrong_s = std::max(figures_.longest_wrong_s, wrong_s);
  if (wrong_s > kAtOnce_s)
    complain("a good reading is " + std::to_string(off_percent) + " % off, after " + std::string(lately_));
}

void Ordeal::complain(std::string what) {
  ++figures_.complaint_count;
  if (figures_.complaints.size() < kMostComplaints)
    figures_.complaints.push_back("at " + std::to_string(passed_s_) + " s: " + std::move(what));
}

}  // namespace

OrdealFigures go_through(const OrdealConfig& config) { return Ordeal(config).run(); }

}  // namespace four76::test
