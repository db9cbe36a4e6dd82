#include "web/update.hpp"

#include <algorithm>
#include <utility>
#include <variant>

#include "web/clock/controls.hpp"
#include "web/clock/update.hpp"
#include "web/coach/controls.hpp"
#include "web/controls.hpp"
#include "web/flutter/causes/controls.hpp"
#include "web/flutter/controls.hpp"
#include "web/friend/controls.hpp"
#include "web/friend/update.hpp"
#include "web/machine/controls.hpp"
#include "web/overloaded.hpp"
#include "web/place/controls.hpp"
#include "web/run/controls.hpp"
#include "web/run/update.hpp"
#include "web/song/controls.hpp"
#include "web/song/update.hpp"
#include "web/tone/controls.hpp"
#include "web/tone/update.hpp"

namespace four76 {
namespace {

Effects on(Model& model, std::optional<Intent> intent) { return intent ? update(model, *intent) : Effects{}; }

}  // namespace

Effects update(Model& model, const Intent& intent) {
  return std::visit([&](const auto& asked) { return carry_out(model, asked); }, intent);
}

Effects update(Model& model, const browser::Event& event) {
  return std::visit(Overloaded{
                        [&](const browser::CaptureStarted& capture) { return capture_started(model, capture); },
                        [&](const browser::CaptureFailed& failed) { return capture_failed(model, failed); },
                        [&](const browser::CaptureInterrupted& event_) { return interrupted(model, event_.what); },
                        [&](const browser::DevicesListed& listed) { return model.devices = listed.devices, Effects{}; },
                        [&](const browser::FileStarted& file) { return file_started(model, file.name); },
                        [&](const browser::FileProgress& progress) {
                          model.file.fraction = std::clamp(progress.fraction, 0.0, 1.0);
                          return Effects{};
                        },
                        [&](const browser::FileFailed& failed) { return file_failed(model, failed); },
                        [&](const browser::FileMeasured& file) { return file_measured(model, file.snapshot); },
                        [&](const browser::SongFileStarted& file) { return song_file_started(model, file); },
                        [&](const browser::SongRead& read) { return song_read(model, read.seconds); },
                        [&](const browser::SongMatched& song) { return song_matched(model, song.result); },
                        [&](const browser::NumberEntered& entered) { return number_entered(model, entered); },
                        [&](const browser::ButtonPressed& button) { return on(model, intent_of_button(button.act)); },
                        [&](const browser::ControlChanged& control) {
                          return on(model, intent_of_control(control.name, control.value));
                        },
                        [&](const browser::StorageRefused&) { return model.storage_refused = true, Effects{}; },
                        [&](const browser::UpdateReady&) { return model.update_ready = true, Effects{}; },
                        [&](const browser::FragmentOpened& opened) { return open_link(model, opened.fragment); },
                        [&](const browser::DrawingLost&) { return model.drawing_lost = true, Effects{}; },
                        [&](const browser::DrawingRestored&) { return model.drawing_lost = false, Effects{}; },
                    },
                    event);
}

void restore_settings(Model& model, const std::function<std::optional<std::string>(std::string_view key)>& load) {
  for (const std::string_view key :
       {"tone", "tape-tolerance", "tolerance", "unit", "channel", "trace", "visit-seconds", "parts", "device"}) {
    const std::optional<std::string> value = load(key);
    const auto wanted = value ? intent_of_control(key, *value) : std::nullopt;
    if (wanted) (void)update(model, *wanted);
  }
  model.causes.parts_fault.clear();  // what was kept and is no longer taken is as good as not known
  if (const auto kept = load("clocks")) restore_clocks(model, *kept);
  if (const auto kept = load("machine")) (void)name_machine(model, *kept);
  if (const auto kept = load("tapes")) restore_tapes(model, *kept);
}

}  // namespace four76
