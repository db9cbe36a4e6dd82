// What shell/tapes_worker.js calls: a tape that plays, and the drawer of those that were kept. Text goes out as UTF-8
// that holds until the next call.
#include <emscripten.h>

#include <algorithm>
#include <optional>
#include <string>

#include "core/phrase.hpp"
#include "core/tapes/posterior_picture.hpp"
#include "core/tapes/tape_session.hpp"
#include "web/doors/json.hpp"
#include "web/tapes/mirror.hpp"
#include "web/words/advice.hpp"

namespace four76 {
namespace {

constexpr double kLeastTolerance_percent = 0.05, kMostTolerance_percent = 5.0;

struct Door {
  Drawer drawer;
  std::optional<TapeSession> session;
  int channels = 1;
  double tolerance_percent = 0.5;
  std::string text;  // what went out last

  const char* tell(std::string told) {
    text = std::move(told);
    return text.c_str();
  }
  [[nodiscard]] TapesOnShow shown() const {
    return {drawer, session ? std::optional(session->findings()) : std::nullopt, tolerance_percent};
  }
};
Door& door() {
  static Door the_door;
  return the_door;
}

std::string advice_json(const words::Advice& advice) {
  JsonWriter json;
  json.open('{').key("what").value(advice.what).key("todo").value(advice.todo);
  return json.close('}').take();
}

}  // namespace
}  // namespace four76

using four76::door;

extern "C" {

// A catalogue of words (core/phrase.hpp).
EMSCRIPTEN_KEEPALIVE void tapes_language(const char* catalogue) { four76::set_language(catalogue); }
EMSCRIPTEN_KEEPALIVE void tapes_tolerance(double percent) {
  door().tolerance_percent = std::clamp(percent, four76::kLeastTolerance_percent, four76::kMostTolerance_percent);
}
// A drawer as tapes_drawer() wrote it; 0 where it is damaged, and then it is an empty one.
EMSCRIPTEN_KEEPALIVE int tapes_restore(const char* text) {
  auto read = four76::read_drawer(text);
  const bool whole = read.has_value();
  door().drawer = std::move(read).value_or(four76::Drawer{});
  return whole ? 1 : 0;
}
EMSCRIPTEN_KEEPALIVE const char* tapes_drawer() { return door().tell(write_drawer(door().drawer)); }

// A tape begins; what was heard of another that was not kept is forgotten.
EMSCRIPTEN_KEEPALIVE void tapes_open(double sample_rate_hz, int channels) {
  door().channels = channels == 2 ? 2 : 1;
  door().session.emplace(four76::TapeSession::Config{sample_rate_hz, door().channels});
}
EMSCRIPTEN_KEEPALIVE void tapes_feed(const float* interleaved, int frames) {
  if (!door().session || frames <= 0) return;
  door().session->process({interleaved, static_cast<std::size_t>(frames) * static_cast<std::size_t>(door().channels)});
}
EMSCRIPTEN_KEEPALIVE void tapes_clear() { door().session.reset(); }

EMSCRIPTEN_KEEPALIVE int tapes_keep(const char* name) {
  if (!door().session || !put_into(door().drawer, name, door().session->findings())) return 0;
  door().session.reset();
  return 1;
}
EMSCRIPTEN_KEEPALIVE void tapes_drop(int index) {
  auto& tapes = door().drawer.tapes;
  if (index >= 0 && static_cast<std::size_t>(index) < tapes.size()) tapes.erase(tapes.begin() + index);
}
EMSCRIPTEN_KEEPALIVE void tapes_tuning(double concert_a_hz) {
  door().drawer.tuning.concert_a_hz = concert_a_hz > 0.0 ? std::optional(concert_a_hz) : std::nullopt;
}
EMSCRIPTEN_KEEPALIVE void tapes_sounds(int like) {
  door().drawer.sounds_like = static_cast<four76::SoundsLike>(std::clamp(like, 0, 3));
}

EMSCRIPTEN_KEEPALIVE const char* tapes_look() { return door().tell(tapes_json(door().shown())); }
EMSCRIPTEN_KEEPALIVE const char* tapes_picture(double width, double height) {
  const four76::TapesOnShow shown = door().shown();
  const auto all = all_findings(shown);
  return door().tell(picture_of(answer_of(shown), all, shown.drawer.tuning, {width, height, shown.tolerance_percent}));
}

// Why there is no sound, and what to do: the place of the fault among those of web/platform/browser.hpp, and on what
// the browser runs.
EMSCRIPTEN_KEEPALIVE const char* tapes_failed(int fault, const char* platform, const char* agent, int touch_points) {
  four76::Failure failure;
  failure.fault = static_cast<four76::browser::CaptureFault>(fault);
  return door().tell(
      four76::advice_json(four76::words::advice(failure, four76::platform_of(platform, agent, touch_points))));
}
// The microphone went away (0), is muted (1), the browser has paused the sound (2).
EMSCRIPTEN_KEEPALIVE const char* tapes_interrupted(int what) {
  if (what == 0) {
    four76::Failure failure;
    failure.kind = four76::Failure::Kind::interrupted;
    return door().tell(four76::advice_json(four76::words::advice(failure, four76::Platform::unknown)));
  }
  four76::Interrupted interrupted;
  interrupted.muted = what == 1;
  interrupted.suspended = what == 2;
  return door().tell(four76::advice_json(four76::words::advice(interrupted).value_or(four76::words::Advice{})));
}

}  // extern "C"
