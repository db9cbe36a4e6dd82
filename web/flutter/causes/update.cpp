#include "web/flutter/causes/update.hpp"

#include <optional>

#include "core/phrase.hpp"
#include "core/records/parts_text.hpp"

namespace four76 {

void judge_flutter(Model& model) {
  model.causes.judgement.reset();
  const auto evidence = shown_evidence(model);
  if (!evidence) return;
  FlutterJudgement judgement{find_causes(*evidence), {}};
  judgement.verdicts = find_verdicts(*evidence, judgement.causes);
  model.causes.judgement = judgement;
}

Effects enter_parts(Model& model, const std::string& text) {
  const auto known = known_parts_of(text);
  const auto fault = known ? fault_in(*known) : std::optional(tr("Enter plain numbers, such as 2.05."));
  model.causes.parts_fault = fault.value_or("");
  ++model.causes.parts_entered;
  if (fault) return {};
  model.settings.known = *known;
  judge_flutter(model);
  return {effect::Store{"parts", text_of(*known)}};
}

}  // namespace four76
