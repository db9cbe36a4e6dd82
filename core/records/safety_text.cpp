#include "core/records/safety_text.hpp"

#include <algorithm>

#include "core/phrase.hpp"

namespace four76 {

std::string_view safety_text() noexcept {
  return tr(
      "Mains voltage can kill, and capacitors stay charged after the plug is out. Unplug the machine before you open "
      "it; one that is open and plugged in is work for somebody licensed or qualified. Its service manual and your "
      "local electrical codes come before anything said here.");
}

bool sends_to_the_machine(Reason reason) noexcept {
  return reason == Reason::mains_hum || reason == Reason::tape_dropout;
}
bool sends_to_the_machine(const Reading& reading) noexcept {
  return std::any_of(reading.reasons.begin(), reading.reasons.end(),
                     [](Reason reason) { return sends_to_the_machine(reason); });
}
bool sends_to_the_machine(const Causes& causes, const Verdicts& verdicts) noexcept {
  const RepairSteps work = work_list(causes);
  return std::any_of(work.begin(), work.end(),
                     [](RepairStep step) { return state_for(step) != MachineState::closed; }) ||
         std::any_of(verdicts.begin(), verdicts.end(), [](const Verdict& verdict) {
           return verdict.rule != Rule::warming_up && verdict.rule != Rule::nothing_to_do;
         });
}

std::string_view words_of(MachineState state) noexcept {
  switch (state) {
    case MachineState::closed: return tr("Cover on");
    case MachineState::without_power: return tr("Plug and batteries out");
    case MachineState::running: return tr("Running (if open, on batteries alone)");
  }
  return tr("Plug and batteries out");
}

}  // namespace four76
