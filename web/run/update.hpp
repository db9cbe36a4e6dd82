// The run's part of update: what begins, ends and fails, upon which the other parts build.
#pragma once

#include <cstdint>
#include <span>
#include <string>

#include "web/effect.hpp"
#include "web/model.hpp"
#include "web/platform/browser.hpp"

namespace four76 {

void append(Effects& all, Effects more);
// Ends whatever runs and leaves the page idle.
Effects end_running(Model& model);
// The same for a file that begins: the page has ended the one before by itself, and cancelling would end this one.
Effects end_for_file(Model& model);
// Ends whatever runs, and asks for the microphone.
Effects listen(Model& model);
// Ends whatever runs; a check of the clock has then failed too.
Effects fail(Model& model, Failure failure);
// Opens a session for what runs; fails in words where the tone cannot be measured at this sample rate.
Effects open_session(Model& model, double discard_s);
void forget_readings(Model& model);
// What was heard last stays on show: the figure, its course and flutter, to be put on a card.
Effects stop(Model& model);

// What the page reports.
Effects capture_started(Model& model, const browser::CaptureStarted& capture);
Effects capture_failed(Model& model, const browser::CaptureFailed& failed);
Effects interrupted(Model& model, browser::Interruption what);
Effects file_started(Model& model, std::string name);
Effects file_failed(Model& model, const browser::FileFailed& failed);
Effects file_measured(Model& model, std::span<const std::uint8_t> bytes);

}  // namespace four76
