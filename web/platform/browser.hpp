// browser: every call between the C++ program and the page, in both directions.
//
// C++ to page: the functions below. Page to C++: the events below, queued by the page's script through exported C
// functions (web/platform/browser.cpp) and drained once a frame by main, and push_samples for captured audio. Nothing
// else in web/ knows that a browser exists. All strings are UTF-8.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace four76::browser {

// ---- What the page tells the program -------------------------------------------------------------------------------

// What the browser says of a processing step: a key that it does not report is unknown, never "off".
enum class Processing : std::uint8_t { unknown, off, on };

struct CaptureStarted {
  double sample_rate_hz = 0.0;  // the audio context's
  double device_rate_hz = 0.0;  // what the track reports; 0 where it reports none
  int channels = 1;             // that the worklet delivers, 1 or 2
  Processing echo_cancellation = Processing::unknown;
  Processing noise_suppression = Processing::unknown;
  Processing gain_control = Processing::unknown;
  Processing voice_isolation = Processing::unknown;
  std::string device_id;
  std::string device_label;  // may be empty
};

enum class CaptureFault : std::uint8_t {
  permission_denied,  // NotAllowedError
  no_device,          // NotFoundError
  device_busy,        // NotReadableError, AbortError
  device_unsuited,    // OverconstrainedError
  insecure_origin,    // SecurityError, or no mediaDevices at all
  never_answered,     // the promise did not settle in time
  not_supported,      // no AudioWorklet and the like
  other,
};
struct CaptureFailed {
  CaptureFault fault = CaptureFault::other;
  std::string detail;  // the browser's own words
};

enum class Interruption : std::uint8_t {
  device_ended,  // unplugged, or taken by a call: capture is over
  muted,
  unmuted,  // the track delivers silence / delivers again
  suspended,
  resumed,  // the audio context
  hidden,
  visible,  // the page
};
struct CaptureInterrupted {
  Interruption what = Interruption::device_ended;
};

struct InputDevice {
  std::string id;
  std::string label;  // "Microphone 2" where the browser hides names
};
struct DevicesListed {
  std::vector<InputDevice> devices;
};

// A file that the person opened, measured in a Worker over the same core. Progress from 0 to 1.
struct FileStarted {
  std::string name;
};
struct FileProgress {
  double fraction = 0.0;
};
struct FileFailed {
  std::string message;
};  // in words, already fit to be shown
struct FileMeasured {
  std::vector<std::uint8_t> snapshot;
};  // see web/snapshot/snapshot.hpp

// Of the song bench: a file that is to be its reference or its tape. Progress and failure are told as of any file.
struct SongFileStarted {
  std::string name;
  bool tape = false;
};
struct SongRead {
  double seconds = 0.0;
};  // the reference's samples wait in take_song()
struct SongMatched {
  std::vector<std::uint8_t> result;
};  // see web/song/match/result.hpp

// A value typed into an HTML dialog that ask_number opened; nothing where it was cancelled.
struct NumberEntered {
  std::string question;
  std::optional<double> value;
};

// One of the page's HTML buttons act-listen, act-stop, act-demo, act-open-file, act-as-found, act-as-left, or an HTML
// control: a name ("tone", "tolerance", "unit", "device", "channel", "trim") with its value as text.
struct ButtonPressed {
  std::string act;
};
struct ControlChanged {
  std::string name, value;
};

struct StorageRefused {};  // a setting could not be kept
struct UpdateReady {};     // a newer version waits to be taken
struct FragmentOpened {
  std::string fragment;
};                      // the part of the address after '#'
struct DrawingLost {};  // WebGL context lost: device objects are gone
struct DrawingRestored {};

using Event =
    std::variant<CaptureStarted, CaptureFailed, CaptureInterrupted, DevicesListed, FileStarted, FileProgress,
                 FileFailed, FileMeasured, SongFileStarted, SongRead, SongMatched, NumberEntered, ButtonPressed,
                 ControlChanged, StorageRefused, UpdateReady, FragmentOpened, DrawingLost, DrawingRestored>;

// Moves all queued events out, oldest first.
std::vector<Event> take_events();
// Queues an event and asks for a frame (platform/canvas reports the drawing's loss so).
void post(Event event);

// Captured audio, interleaved, as it arrives; set once by main. Called between frames, on the main thread.
using SampleSink = void (*)(void* context, std::span<const float> interleaved, int channels);
void set_sample_sink(SampleSink sink, void* context);

// ---- What the program asks of the page -----------------------------------------------------------------------------

void start_capture(std::string_view device_id);  // empty: the browser's choice; answers CaptureStarted or CaptureFailed
void stop_capture();
void list_devices();
// "tone", "reference" or "tape": what the file is to be.
void open_file_picker(std::string_view role);
void cancel_file();
// The file opened last, by these settings of ToneSession; answers as when it was opened.
void measure_again(double nominal_hz, bool tone_is_sure, std::optional<double> near_hz);
void ask_number(std::string_view question, std::string_view label, std::string_view unit, double value, double lowest,
                double highest);
void show_help(std::string_view section);                  // opens the HTML panel: "trouble", "budget", "safety", ...
void keep_awake(bool on);                                  // wake lock
bool store(std::string_view key, std::string_view value);  // small settings, on this device only; false where refused
std::optional<std::string> load(std::string_view key);
void keep_visit(std::string_view json, bool demo);  // onto the card of the machine that is chosen, or of the demo's
void take_update();                                 // activates the waiting version and reloads
// The whole state that the HTML side shows, as one JSON object: the mirror's fields, which buttons are usable, the
// controls' values, messages. The page renders it as it is. See web/mirror.hpp for its shape.
void show(std::string_view json);

// A song's samples at kSongRate_hz: those that a Worker read, once; and those that it is to hold a tape against, which
// must stay where they are until others are offered.
std::vector<float> take_song();
void offer_song(std::span<const float> samples);

// What the drawing reports of itself: see web/draw/drawn_controls.hpp for its shape.
void show_drawn(std::string_view json);
// The drawn control over which the page's button was pressed since the last call; empty where none was.
std::string take_drawn_press();

// Words that do not change, once: see web/mirror.hpp for their shape.
void show_words(std::string_view json);

// What the browser says of what it runs on.
struct Host {
  std::string platform, user_agent;
  int touch_points = 0;
  bool less_motion = false;  // asked of the system by the person
  std::string words;         // the catalogue of the language that is told: core/phrase.hpp
};
Host host();

// A frame no later than so much from now, also where nothing else asks for one.
void wake_after(double seconds);

double now_s();  // monotonic

}  // namespace four76::browser
