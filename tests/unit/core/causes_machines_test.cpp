// Machines of known faults: the fault at the head of the list, and none claimed where there is none.
#include <gtest/gtest.h>

#include <functional>
#include <vector>

#include "core/flutter/causes.hpp"
#include "tests/unit/core/made_machine.hpp"

namespace four76 {
namespace {

struct Fault {
  const char* name;
  CauseKind kind;
  std::function<void(MadeMachine&)> make;
};

// Beside each fault stands what every machine has: a little of capstan and roller.
const std::vector<Fault>& faults() {
  static const std::vector<Fault> kFaults{
      {"bent capstan", CauseKind::capstan, [](MadeMachine& m) { m.turns(7.58, 0.7).turns(1.24, 0.05); }},
      {"bent capstan of 2.5 mm, with its double", CauseKind::capstan,
       [](MadeMachine& m) { m.turns(6.06, 0.8).turns(12.12, 0.2).turns(1.24, 0.05); }},
      {"capstan as entered", CauseKind::capstan,
       [](MadeMachine& m) { m.known(transport()).turns(7.55, 0.6).turns(1.263, 0.05); }},
      {"flat spot of the roller", CauseKind::pinch_roller,
       [](MadeMachine& m) { m.turns(1.25, 0.7).turns(2.5, 0.3).turns(3.75, 0.12).turns(7.58, 0.04); }},
      {"roller out of round", CauseKind::pinch_roller, [](MadeMachine& m) { m.turns(1.2, 1.2).turns(6.06, 0.04); }},
      {"roller as entered", CauseKind::pinch_roller,
       [](MadeMachine& m) { m.known(transport()).turns(1.265, 1.0).turns(7.55, 0.05); }},
      {"joint of the belt", CauseKind::belt,
       [](MadeMachine& m) { m.turns(2.6, 0.6).turns(5.2, 0.25).turns(7.8, 0.1).turns(6.06, 0.05); }},
      {"belt as entered, two jolts a turn", CauseKind::belt,
       [](MadeMachine& m) { m.known(transport()).turns(2.27, 0.1).turns(4.54, 0.6).turns(7.55, 0.05); }},
      {"belt as entered, its rate hidden", CauseKind::belt,
       [](MadeMachine& m) { m.known(transport()).turns(4.536, 0.5).turns(6.804, 0.3).turns(7.55, 0.05); }},
      {"take-up reel's clutch", CauseKind::take_up_reel,
       [](MadeMachine& m) { m.turns(0.55, 1.5).moving(-0.0235, 0.002).turns(7.58, 0.05); }},
      {"supply reel's brake", CauseKind::supply_reel,
       [](MadeMachine& m) { m.turns(0.5, 1.5).moving(0.0118, 0.002).turns(1.25, 0.05); }},
      {"take-up reel by its place", CauseKind::take_up_reel,
       [](MadeMachine& m) {
         KnownParts known;
         known.side_played_share = 0.0;
         m.known(known).turns(0.69, 1.5).unsteady().turns(7.58, 0.05);
       }},
      {"motor", CauseKind::motor, [](MadeMachine& m) { m.turns(40.2, 1.6).turns(7.58, 0.05); }},
      {"motor as entered", CauseKind::motor,
       [](MadeMachine& m) { m.known(transport()).turns(39.5, 2.0).turns(7.55, 0.05); }},
      {"idler as entered", CauseKind::idler,
       [](MadeMachine& m) { m.known(transport()).turns(13.78, 1.0).turns(7.55, 0.05); }},
      {"scrape", CauseKind::scrape, [](MadeMachine& m) { m.scrape(0.3).turns(7.58, 0.05); }},
      {"dry bearings", CauseKind::random_wow, [](MadeMachine& m) { m.random(0.5).turns(7.58, 0.05); }},
      {"dirty head", CauseKind::dropouts, [](MadeMachine& m) { m.dropouts(8.0, 20.0).turns(7.58, 0.05); }},
      {"worn pad", CauseKind::level_flutter, [](MadeMachine& m) { m.level(12.0).turns(7.58, 0.05); }},
      {"belt that slips more and more", CauseKind::sag,
       [](MadeMachine& m) { m.drift(-0.2, 0.02, 240.0).turns(7.58, 0.05); }},
      {"cold grease", CauseKind::warm_up, [](MadeMachine& m) { m.drift(0.3, 0.05, 120.0).turns(7.58, 0.05); }},
      {"trimmer alone", CauseKind::trimmer, [](MadeMachine& m) { m.speed(2.3).turns(7.58, 0.05); }},
  };
  return kFaults;
}

TEST(Causes, PutTheKnownFaultFirst) {
  for (const Fault& fault : faults()) {
    MadeMachine machine;
    fault.make(machine);
    const Causes causes = find_causes(machine.evidence());
    ASSERT_FALSE(causes.list.empty()) << fault.name;
    EXPECT_EQ(name_of(causes.list[0].kind), name_of(fault.kind)) << fault.name;
    EXPECT_TRUE(causes.list[0].fault) << fault.name;
    EXPECT_NE(causes.list[0].sureness, Sureness::hint) << fault.name;
    EXPECT_FALSE(causes.list[0].steps.empty()) << fault.name;
  }
}

TEST(Causes, PutTheKnownFaultFirstWhateverTheSpeed) {
  for (const Fault& fault : faults())
    for (const double error : {-0.4, 0.4}) {
      MadeMachine machine;
      fault.make(machine);
      FlutterEvidence& evidence = machine.evidence();
      if (fault.kind == CauseKind::trimmer) continue;
      evidence.reading.speed_error_percent = error;
      EXPECT_EQ(name_of(find_causes(evidence).list[0].kind), name_of(fault.kind)) << fault.name << error;
    }
}

TEST(Causes, ClaimNoFaultOnSoundMachines) {
  const std::vector<std::function<void(MadeMachine&)>> sound{
      [](MadeMachine& m) { m.turns(6.06, 0.05).turns(1.2, 0.03); },
      [](MadeMachine& m) { m.turns(7.58, 0.2).turns(1.25, 0.15).turns(2.6, 0.1).turns(0.5, 0.2).random(0.05); },
      [](MadeMachine& m) { m.known(transport()).turns(7.55, 0.25).turns(2.27, 0.1); },
      [](MadeMachine& m) { m.random(0.1); },
      [](MadeMachine& m) { m.turns(0.55, 0.4).moving(-0.0235, 0.002); },
      [](MadeMachine& m) { m.drift(-0.3, 0.25, 60.0).turns(7.58, 0.1); },  // not surely
      [](MadeMachine& m) { m.speed(0.49).turns(7.58, 0.1); },
  };
  for (std::size_t i = 0; i < sound.size(); ++i) {
    MadeMachine machine;
    sound[i](machine);
    const Causes causes = find_causes(machine.evidence());
    EXPECT_EQ(leading_fault(causes), nullptr) << i;
    EXPECT_TRUE(work_list(causes).empty()) << i;
  }
}

}  // namespace
}  // namespace four76
