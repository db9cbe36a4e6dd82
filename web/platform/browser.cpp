// The C++ side of the door: EM_JS functions call the object `page` that shell/program.js gave the module; the exported
// page_... functions queue what the page reports. Without a `page` (in a Worker) every call out does nothing.
#include "web/platform/browser.hpp"

#include <emscripten.h>
#include <emscripten/html5.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <utility>

#include "core/song/rate_changer.hpp"
#include "web/doors/bench.hpp"
#include "web/doors/records.hpp"
#include "web/doors/tone_file.hpp"
#include "web/platform/canvas.hpp"
#include "web/platform/steady_clock.hpp"

// ---- C++ to page ----------------------------------------------------------------------------------------------------
// Strings cross as pointer and length, so that string_views need no copy.
// clang-format off
EM_JS(void, js_start_capture, (const char* id, int size), { Module.page.startCapture(UTF8ToString(id, size)); });
EM_JS(void, js_stop_capture, (), { Module.page.stopCapture(); });
EM_JS(void, js_list_devices, (), { Module.page.listDevices(); });
EM_JS(void, js_open_file_picker, (const char* role, int size), { Module.page.openFilePicker(UTF8ToString(role, size)); });
EM_JS(void, js_cancel_file, (), { Module.page.cancelFile(); });
EM_JS(void, js_ask_number, (const char* question, int question_size, const char* label, int label_size, const char* unit,
                            int unit_size, double value, double lowest, double highest), {
  Module.page.askNumber(UTF8ToString(question, question_size), UTF8ToString(label, label_size),
                        UTF8ToString(unit, unit_size), value, lowest, highest);
});
EM_JS(void, js_show_help, (const char* section, int size), { Module.page.showHelp(UTF8ToString(section, size)); });
EM_JS(void, js_keep_awake, (int on), { Module.page.keepAwake(on !== 0); });
EM_JS(int, js_store, (const char* key, int key_size, const char* value, int value_size), {
  return Module.page.store(UTF8ToString(key, key_size), UTF8ToString(value, value_size)) ? 1 : 0;
});
// A string from malloc, or null.
EM_JS(char*, js_load, (const char* key, int size), {
  const value = Module.page.load(UTF8ToString(key, size));
  if (typeof value !== 'string') return 0;
  const bytes = lengthBytesUTF8(value) + 1;
  const text = _malloc(bytes);
  stringToUTF8(value, text, bytes);
  return text;
});
EM_JS(char*, js_host, (int which), {
  const text = Module.page.host()[which];
  const bytes = lengthBytesUTF8(text) + 1;
  const copy = _malloc(bytes);
  stringToUTF8(text, copy, bytes);
  return copy;
});
EM_JS(int, js_touch_points, (), { return Module.page.host()[2]; });
EM_JS(int, js_less_motion, (), { return Module.page.host()[4] ? 1 : 0; });
EM_JS(void, js_measure_again, (double hz, int sure, double near), { Module.page.measureAgain(hz, sure, near); });
EM_JS(void, js_show_words, (const char* json, int size), { Module.page.showWords(UTF8ToString(json, size)); });
EM_JS(void, js_keep_visit, (const char* json, int size, int demo), { Module.page.keepVisit(UTF8ToString(json, size), demo !== 0); });
EM_JS(void, js_take_update, (), { Module.page.takeUpdate(); });
EM_JS(void, js_show_drawn, (const char* json, int size), { Module.page.showDrawn(UTF8ToString(json, size)); });
EM_JS(void, js_show, (const char* json, int size), { Module.page.show(UTF8ToString(json, size)); });
// clang-format on

namespace four76::browser {
namespace {

struct Queue {
  std::vector<Event> events;
  std::vector<InputDevice> devices;  // gathered one by one, until the list is complete
  SampleSink sink = nullptr;
  void* sink_context = nullptr;
  std::vector<float> samples;
  std::vector<float> song;         // that a Worker read
  std::span<const float> offered;  // that a Worker may ask for
  std::string drawn_press;         // a drawn control
};

Queue& queue() {
  static Queue the_queue;
  return the_queue;
}

template <class Enum>
Enum enum_of(int value, Enum last) {
  return static_cast<Enum>(std::clamp(value, 0, static_cast<int>(last)));
}

four76::ToneFile& tone_file() {
  static four76::ToneFile the_file;
  return the_file;
}

// A string from malloc, let go of.
std::string taken(char* text) {
  std::string value(text);
  std::free(text);
  return value;
}

int size_of(std::string_view text) { return static_cast<int>(text.size()); }

}  // namespace

std::vector<Event> take_events() { return std::exchange(queue().events, {}); }

void post(Event event) {
  queue().events.push_back(std::move(event));
  canvas::request_frame();
}

void set_sample_sink(SampleSink sink, void* context) {
  queue().sink = sink;
  queue().sink_context = context;
}

void start_capture(std::string_view device_id) { js_start_capture(device_id.data(), size_of(device_id)); }
void stop_capture() { js_stop_capture(); }
void list_devices() { js_list_devices(); }
void open_file_picker(std::string_view role) { js_open_file_picker(role.data(), size_of(role)); }
void cancel_file() { js_cancel_file(); }
void measure_again(double nominal_hz, bool tone_is_sure, std::optional<double> near_hz) {
  js_measure_again(nominal_hz, tone_is_sure ? 1 : 0, near_hz.value_or(0.0));  // 0: not said
}
void ask_number(std::string_view question, std::string_view label, std::string_view unit, double value, double lowest,
                double highest) {
  js_ask_number(question.data(), size_of(question), label.data(), size_of(label), unit.data(), size_of(unit), value,
                lowest, highest);
}
void show_help(std::string_view section) { js_show_help(section.data(), size_of(section)); }
void keep_awake(bool on) { js_keep_awake(on ? 1 : 0); }
bool store(std::string_view key, std::string_view value) {
  return js_store(key.data(), size_of(key), value.data(), size_of(value)) != 0;
}
std::optional<std::string> load(std::string_view key) {
  char* const text = js_load(key.data(), size_of(key));
  if (!text) return std::nullopt;
  return taken(text);
}
Host host() {
  return {taken(js_host(0)), taken(js_host(1)), js_touch_points(), js_less_motion() != 0, taken(js_host(3))};
}
std::vector<float> take_song() { return std::exchange(queue().song, {}); }
void offer_song(std::span<const float> samples) { queue().offered = samples; }
void keep_visit(std::string_view json, bool demo) { js_keep_visit(json.data(), size_of(json), demo ? 1 : 0); }
void take_update() { js_take_update(); }
void show_words(std::string_view json) { js_show_words(json.data(), size_of(json)); }
void show(std::string_view json) { js_show(json.data(), size_of(json)); }

void show_drawn(std::string_view json) { js_show_drawn(json.data(), size_of(json)); }
std::string take_drawn_press() { return std::exchange(queue().drawn_press, {}); }

void wake_after(double seconds) {
  emscripten_set_timeout([](void*) { canvas::request_frame(); }, seconds * 1000.0, nullptr);
}

double now_s() {
  static SteadyClock clock;
  return clock.tell(emscripten_get_now() / 1000.0);
}

}  // namespace four76::browser

// ---- Page to C++: what shell/program.js calls -----------------------------------------------------------------------
extern "C" {

using namespace four76::browser;

EMSCRIPTEN_KEEPALIVE void page_capture_started(double sample_rate_hz, double device_rate_hz, int channels, int echo,
                                               int noise, int gain, int isolation, const char* id, const char* label) {
  CaptureStarted started;
  started.sample_rate_hz = sample_rate_hz;
  started.device_rate_hz = device_rate_hz;
  started.channels = channels;
  started.echo_cancellation = enum_of(echo, Processing::on);
  started.noise_suppression = enum_of(noise, Processing::on);
  started.gain_control = enum_of(gain, Processing::on);
  started.voice_isolation = enum_of(isolation, Processing::on);
  started.device_id = id;
  started.device_label = label;
  post(std::move(started));
}
EMSCRIPTEN_KEEPALIVE void page_capture_failed(int fault, const char* detail) {
  post(CaptureFailed{enum_of(fault, CaptureFault::other), detail});
}
EMSCRIPTEN_KEEPALIVE void page_capture_interrupted(int what) {
  post(CaptureInterrupted{enum_of(what, Interruption::visible)});
}
EMSCRIPTEN_KEEPALIVE void page_device(const char* id, const char* label) { queue().devices.push_back({id, label}); }
EMSCRIPTEN_KEEPALIVE void page_devices_listed() { post(DevicesListed{std::exchange(queue().devices, {})}); }
EMSCRIPTEN_KEEPALIVE void page_file_started(const char* name) { post(FileStarted{name}); }
EMSCRIPTEN_KEEPALIVE void page_file_progress(double fraction) { post(FileProgress{fraction}); }
EMSCRIPTEN_KEEPALIVE void page_file_failed(const char* message) { post(FileFailed{message}); }
EMSCRIPTEN_KEEPALIVE void page_file_measured(const std::uint8_t* bytes, int size) {
  post(FileMeasured{std::vector<std::uint8_t>(bytes, bytes + size)});
}
EMSCRIPTEN_KEEPALIVE void page_song_file_started(const char* name, int tape) { post(SongFileStarted{name, tape != 0}); }
// Room for a reference's samples, to be filled before page_song_read.
EMSCRIPTEN_KEEPALIVE float* page_song_buffer(int samples) {
  queue().song.assign(static_cast<std::size_t>(samples), 0.0F);
  return queue().song.data();
}
EMSCRIPTEN_KEEPALIVE void page_song_read() {
  post(SongRead{static_cast<double>(queue().song.size()) / four76::kSongRate_hz});
}
EMSCRIPTEN_KEEPALIVE void page_song_matched(const std::uint8_t* bytes, int size) {
  post(SongMatched{std::vector<std::uint8_t>(bytes, bytes + size)});
}
EMSCRIPTEN_KEEPALIVE const float* page_song_samples() { return queue().offered.data(); }
EMSCRIPTEN_KEEPALIVE int page_song_size() { return static_cast<int>(queue().offered.size()); }
EMSCRIPTEN_KEEPALIVE void page_number_entered(const char* question, int there, double value) {
  post(NumberEntered{question, there ? std::optional<double>(value) : std::nullopt});
}
EMSCRIPTEN_KEEPALIVE void page_button(const char* act) { post(ButtonPressed{act}); }
EMSCRIPTEN_KEEPALIVE void page_control(const char* name, const char* value) { post(ControlChanged{name, value}); }
EMSCRIPTEN_KEEPALIVE void page_drawn_pressed(const char* id) {
  queue().drawn_press = id;
  four76::canvas::request_frame();
}
// A question to the bench or to the records (web/doors): its answer, to be given back by free().
EMSCRIPTEN_KEEPALIVE char* page_ask(const char* what, const char* a, const char* b, const char* c, const char* d) {
  const bool of_bench = std::string_view(what).starts_with("bench-");
  const std::string answer = of_bench ? four76::ask_bench(what, {a, b, c, d}) : four76::ask_records(what, {a, b, c, d});
  char* const text = static_cast<char*>(std::malloc(answer.size() + 1));
  if (text) std::memcpy(text, answer.c_str(), answer.size() + 1);
  return text;
}
// A test tone as a file: its levels, each for so many seconds; what is wrong in words, from malloc, or null. Then its
// bytes, until there are none left.
EMSCRIPTEN_KEEPALIVE char* page_tone_begin(double tone_hz, double seconds, int stepped) {
  four76::TestTone::Config config;
  config.tone_hz = tone_hz;
  config.steps.clear();
  constexpr double kStepS = 15.0;
  if (stepped != 0)
    for (const double level_dbfs : {-6.0, -12.0, -18.0, -24.0}) config.steps.push_back({kStepS, level_dbfs});
  config.steps.push_back({seconds, -12.0});
  const auto fault = tone_file().begin(config);
  return fault ? strndup(fault->data(), fault->size()) : nullptr;
}
EMSCRIPTEN_KEEPALIVE int page_tone_next(std::uint8_t* bytes, int size) {
  return static_cast<int>(tone_file().next(std::as_writable_bytes(std::span(bytes, static_cast<std::size_t>(size)))));
}
EMSCRIPTEN_KEEPALIVE void page_update_ready() { post(UpdateReady{}); }
EMSCRIPTEN_KEEPALIVE void page_fragment(const char* fragment) { post(FragmentOpened{fragment}); }

// Room for `samples` numbers, to be filled before page_push_samples.
EMSCRIPTEN_KEEPALIVE float* page_sample_buffer(int samples) {
  if (queue().samples.size() < static_cast<std::size_t>(samples)) queue().samples.resize(samples);
  return queue().samples.data();
}
EMSCRIPTEN_KEEPALIVE void page_push_samples(int samples, int channels) {
  Queue& all = queue();
  if (!all.sink) return;
  all.sink(all.sink_context, std::span<const float>(all.samples).first(static_cast<std::size_t>(samples)), channels);
  four76::canvas::request_frame();
}

}  // extern "C"
