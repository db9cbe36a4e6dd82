// FlutterJudgement: what wow and flutter come from and what a repairer would say of it, made anew whenever the evidence
// or what is known of the machine changes.
#pragma once

#include "core/flutter/causes.hpp"
#include "core/flutter/verdicts.hpp"

namespace four76 {

struct FlutterJudgement {
  Causes causes;
  Verdicts verdicts;
};

}  // namespace four76
