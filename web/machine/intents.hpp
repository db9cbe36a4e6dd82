// What the person asks of timed measurements, and what the page reports of the cards.
#pragma once

#include <variant>

#include "core/bench/visit.hpp"
#include "web/machine/state.hpp"

namespace four76 {

namespace intent {
struct Measure {};  // for so long at that place; breaks off one that runs
struct MeasureVisit {
  VisitStage stage = VisitStage::as_found;
};  // the same, to be kept on a card
struct ChoosePlace {
  TapePlace place = TapePlace::unsaid;
};
struct ChooseVisitSeconds {
  double seconds = kVisitUsualS;
};
struct ForgetMeasured {};  //
struct VisitStored {};
struct CardsChanged {
  CardsState state = CardsState::kept;
};  // what became of the cards on this device
}  // namespace intent

using MachineIntent =
    std::variant<intent::Measure, intent::MeasureVisit, intent::ChoosePlace, intent::ChooseVisitSeconds,
                 intent::ForgetMeasured, intent::VisitStored, intent::CardsChanged>;

}  // namespace four76
