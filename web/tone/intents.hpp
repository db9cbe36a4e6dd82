// What the person asks of the tone and of how it is measured.
#pragma once

#include <optional>
#include <string>
#include <variant>

#include "web/tone/state.hpp"

namespace four76 {

namespace intent {
struct ChooseTone {
  double hz = 3000.0;
};
struct AskTone {};
struct SureOfTone {};  // the tape carries the chosen tone, although it reads as another standard one
struct ChooseNear {
  double hz = 3000.0;
};  // of two steady tones this one is the tape's
struct ChooseTolerance {
  double percent = 0.5;
};
struct AskTolerance {};
struct ChooseTapeTolerance {
  std::optional<double> percent;  // nothing where it is not stated
};
struct AskTapeTolerance {};
struct ChooseUnit {
  Unit unit = Unit::percent;
};
struct NextUnit {};
struct ChooseChannel {
  ChannelChoice channel = ChannelChoice::both;
};
struct ChooseDevice {
  std::string id;
};
struct ChooseTrace {
  Trace trace = Trace::steady;
};
struct NextTrace {};
}  // namespace intent

using ToneIntent =
    std::variant<intent::ChooseTone, intent::AskTone, intent::SureOfTone, intent::ChooseNear, intent::ChooseTolerance,
                 intent::AskTolerance, intent::ChooseTapeTolerance, intent::AskTapeTolerance, intent::ChooseUnit,
                 intent::NextUnit, intent::ChooseChannel, intent::ChooseDevice, intent::ChooseTrace, intent::NextTrace>;

}  // namespace four76
