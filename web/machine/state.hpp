// TapeMeasurement: some time of tone at one place of a tape, as service manuals ask for (common practice), and the run
// that makes one. A run may be kept on a card, as found or as left.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>

#include "core/bench/turn_watch.hpp"
#include "core/bench/visit.hpp"
#include "core/flutter/flutter_figures.hpp"
#include "core/reading.hpp"

namespace four76 {

inline constexpr std::array<TapePlace, 4> kTapePlaces = {TapePlace::unsaid, TapePlace::start, TapePlace::middle,
                                                         TapePlace::end};

enum class CardsState : std::uint8_t { kept, refused, full, set_aside };  // of what this device keeps of the cards

struct TapeMeasurement {
  double nominal_hz = 3000.0;
  Reading whole;
  FlutterReading flutter;
};

struct MeasureRun {
  enum class Stage : std::uint8_t { listening, refused };
  enum class Again : std::uint8_t { no, turned, lost };
  MeasureRun(double wanted_s, std::optional<VisitStage> stage_kept) noexcept
      : seconds(wanted_s), kept_as(stage_kept), timed({wanted_s}) {}

  Stage stage = Stage::listening;
  double seconds;                     // of tone that are wanted
  std::optional<VisitStage> kept_as;  // on a card; nothing where it is only looked at
  TimedRun timed;                     // the speed's course on the way
  TurnWatch hands;                    // nobody may turn the screw on the way
  Again again = Again::no;            // why it began again
  int restarts = 0;
  bool moved = false;    // the speed changed on the way, and it began again often enough
  double taken_s = 0.0;  // up to where the dial's trail was given to it
  double heard_s = 0.0;  // of tone that counts
  bool found = false;    // the tone was there
  bool lost = false;     // it is not at the moment, though it was
  int losses = 0;
  ReasonList reasons;  // why it was refused
};

struct MachineBench {
  std::optional<MeasureRun> run;                                            // under way, or why it was refused
  std::array<std::optional<TapeMeasurement>, kTapePlaces.size()> measured;  // the last at each place of the tape
  std::string visit_on_its_way;         // what will be said of a visit as soon as the page has stored it
  std::string visit_said;               // what was kept last on a card, in words; empty before and after
  TapePlace place = TapePlace::unsaid;  // of the tape, that a measurement is of
  CardsState cards = CardsState::kept;
  std::array<bool, 3> held_kept{};  // what is held is on a card already, by VisitStage
};

}  // namespace four76
