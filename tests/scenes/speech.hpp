// Speech: sentences of our own, spoken by espeak-ng in several voices, languages and speeds.
//
// They are rendered once into a folder of the build and then read back. Where espeak-ng cannot run, std::runtime_error
// says so: scenes without speech would be other scenes.
#pragma once

#include <vector>

namespace four76::scenes {

int speech_count();

// Clip number 0 to speech_count() - 1 at that sample rate, at an RMS of 1. The reference stays valid; may be called
// from several threads.
const std::vector<float>& speech_clip(int number, double sample_rate_hz);

}  // namespace four76::scenes
