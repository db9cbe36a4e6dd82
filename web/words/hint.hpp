// The sentence on what to do now, the messages beside the reading, what a screen reader says, and the status.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "web/model.hpp"
#include "web/words/said.hpp"

namespace four76::words {

[[nodiscard]] Hint hint(const Model& model);
// The verdict on a trusted speed: within the tolerance, off it, or at its edge.
[[nodiscard]] Hint speed_verdict(const Model& model, const Reading& reading);

// What the page has to say beside the reading; the weightiest first.
struct Message {
  enum class Weight : std::uint8_t { fact, warning, fault };
  Weight weight = Weight::fact;
  std::string text;  // what, and what to do
  std::string act;   // the id of an HTML button that leads on, may be empty ("act-listen")
};
[[nodiscard]] std::vector<Message> messages(const Model& model);

[[nodiscard]] std::string spoken(const Model& model);        // "Runs 1.82 percent fast, plus or minus 0.04 percent."
[[nodiscard]] std::string status_line(const Model& model);   // "Listening, 48 kHz, left channel"
[[nodiscard]] std::string capture_note(const Model& model);  // ", 48 kHz"; before it, that the screen may go dark
[[nodiscard]] std::string against(const Model& model);       // "3000 Hz tape, within 0.5 %"
[[nodiscard]] std::string_view heard(const Model& model) noexcept;  // of the spectrum: "What the microphone hears"
[[nodiscard]] std::string processing(
    const browser::CaptureStarted& capture);  // "The browser says: echo cancellation off, ..."

}  // namespace four76::words
