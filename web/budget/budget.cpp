#include "web/budget/budget.hpp"

#include <cmath>

namespace four76 {
namespace {

Budget::Clock clock_of(const Model& model) noexcept {
  if (is_demo(model)) return Budget::Clock::none;
  if (is_file(model)) return Budget::Clock::recorder;
  return clock_in_use(model) ? Budget::Clock::checked : Budget::Clock::unchecked;
}

// A song that was recorded: its microphone's clock counts as well, unless the tape came through the very same one.
bool same_input(const Model& model) noexcept {
  const auto& song = model.song.reference;
  return song && song->recorded && model.capture && song->input == model.capture->device_label &&
         song->sample_rate_hz == model.capture->sample_rate_hz;
}

Budget::Clock clock_for_song(const Model& model) noexcept {
  return same_input(model) ? Budget::Clock::cancelled : clock_of(model);
}

std::optional<double> reference_u95_ppm(const Model& model) noexcept {
  if (!model.song.reference || !model.song.reference->recorded) return std::nullopt;
  return same_input(model) ? kUncheckedClock_ppm : std::sqrt(2.0) * kUncheckedClock_ppm;
}

std::optional<double> clock_u95_ppm(const Budget& budget) noexcept {
  switch (budget.clock) {
    case Budget::Clock::unchecked:
    case Budget::Clock::recorder: return kUncheckedClock_ppm;
    case Budget::Clock::checked: return budget.check->correction.u95_ppm;
    case Budget::Clock::none:
    case Budget::Clock::cancelled: return std::nullopt;
  }
  return std::nullopt;
}

}  // namespace

Reading in_all(const Model& model, const Reading& reading) noexcept {
  const bool song = in_song(model);
  Budget about;
  about.clock = song ? clock_for_song(model) : clock_of(model);
  about.check = clock_in_use(model);
  const auto tape = is_demo(model) || song ? std::nullopt : model.settings.tape_tolerance_percent;
  Reading whole = reading;
  whole.u95_percent =
      error_budget(reading, clock_u95_ppm(about), tape, song ? reference_u95_ppm(model) : std::nullopt).sum_percent;
  return whole;
}

std::optional<Budget> budget(const Model& model) noexcept {
  if (trust(model) != Trust::good || checks_clock(model)) return std::nullopt;
  Budget made;
  made.reading = judged_reading(model);
  if (!made.reading) return std::nullopt;
  const bool song = in_song(model);
  made.clock = song ? clock_for_song(model) : clock_of(model);
  made.check = clock_in_use(model);
  made.tape = !is_demo(model);
  made.player = song && model.song.reference && model.song.reference->recorded;
  const auto tape = made.tape && !song ? model.settings.tape_tolerance_percent : std::nullopt;
  made.terms = error_budget(*made.reading, clock_u95_ppm(made), tape, song ? reference_u95_ppm(model) : std::nullopt);
  return made;
}

}  // namespace four76
