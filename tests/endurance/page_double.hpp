// PageDouble: the page's program (web/main) without a browser, on a clock that is the test's: what happens goes into
// the model, effects are carried out, samples go through the AudioInput, and what the page would be told is made.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "web/effect.hpp"
#include "web/model.hpp"
#include "web/platform/audio_input.hpp"
#include "web/platform/input_watch.hpp"
#include "web/platform/steady_clock.hpp"
#include "web/snapshot/snapshot.hpp"

namespace four76::test {

// What lies on the device and outlives a page.
struct Device {
  std::map<std::string, std::string, std::less<>> settings;
  std::vector<std::string> visits;  // as they would go onto a card; whoever has looked at them takes them away
};

class PageDouble {
 public:
  explicit PageDouble(Device& device);

  void press(std::string_view act);
  void change(std::string_view name, std::string_view value);
  void happens(const browser::Event& event);
  // As the worklet's blocks come, between frames.
  void hears(std::span<const float> interleaved, int channels);
  // As the browser draws one; `told_s` is what its clock says.
  void frame(double told_s);

  [[nodiscard]] const Model& model() const { return model_; }
  [[nodiscard]] bool wants_capture() const { return wants_capture_; }
  [[nodiscard]] int updates_taken() const { return updates_taken_; }
  [[nodiscard]] bool says(std::string_view words) const;  // a message with these words

 private:
  struct CarryOut;
  void carry_out(const std::vector<Effect>& effects);
  void take_reading(double now_s);

  Device& device_;
  Model model_;
  AudioInput audio_;
  InputWatch watch_;
  SteadyClock clock_;
  Snapshot spare_;
  FlutterPictures pictures_;
  std::uint64_t seen_dial_count_ = 0;
  double told_page_s_ = -1.0;
  bool wants_capture_ = false;
  int updates_taken_ = 0;
};

}  // namespace four76::test
