// FlutterJudgement: what wow and flutter come from and what a repairer would say of it, made anew whenever the evidence
// or what is known of the machine changes.
#pragma once

#include <optional>
#include <string>

#include "core/flutter/causes.hpp"
#include "core/flutter/verdicts.hpp"

namespace four76 {

struct FlutterJudgement {
  Causes causes;
  Verdicts verdicts;
};

struct CausesBench {
  std::optional<FlutterJudgement> judgement;  // of the channel on show; nothing without a snapshot
  std::string parts_fault;                    // what is wrong with the parts entered last; empty where nothing is
  unsigned parts_entered = 0;                 // so often; a form that waits for its answer goes by it
};

}  // namespace four76
