#include "web/platform/canvas.hpp"

#include <GLES3/gl3.h>
#include <emscripten.h>
#include <emscripten/html5.h>

#include <algorithm>
#include <cfloat>

#include "imgui.h"
#include "imgui_impl_opengl3.h"
#include "web/place/finger.hpp"
#include "web/platform/browser.hpp"
#include "web/platform/imgui_stand_ins.hpp"

// clang-format off
EM_JS(void, js_attach_canvas, (), { Module.page.attachCanvas(); });
// Sizing clears a canvas, so it is done within the frame that draws it again.
EM_JS(void, js_size_canvas, (int width, int height), { Module.page.sizeCanvas(width, height); });
// clang-format on

namespace four76::canvas {
namespace {

constexpr int kSettlingFrames = 4;         // ImGui spreads queued input over frames: press, release, hover, result
constexpr float kWheelPxPerUnit = 100.0f;  // what browsers send for a notch of the wheel

struct Platform {
  FrameFunction on_frame = nullptr;
  void* frame_context = nullptr;
  bool drawable = false;  // a context is there and not lost
  float width = 0.0f, height = 0.0f;
  int pixel_width = 0, pixel_height = 0;
  double ratio = 1.0;

  bool scheduled = false;
  int frames_wanted = 0;
  double frames_until_s = 0.0;
  double last_frame_s = 0.0;

  bool touch = false;
  Finger finger;
};

Platform& platform() {
  static Platform the_platform;
  return the_platform;
}

EM_BOOL on_animation_frame(double, void*) {
  Platform& p = platform();
  p.scheduled = false;
  p.frames_wanted = std::max(0, p.frames_wanted - 1);
  p.on_frame(p.frame_context);
  if (p.frames_wanted > 0 || browser::now_s() < p.frames_until_s) request_frame();
  return EM_FALSE;
}

void request_settling_frames() {
  platform().frames_wanted = std::max(platform().frames_wanted, kSettlingFrames);
  request_frame();
}

ImVec2 point(double x, double y) { return {static_cast<float>(x), static_cast<float>(y)}; }

bool make_context() {
  EmscriptenWebGLContextAttributes wanted;
  emscripten_webgl_init_context_attributes(&wanted);
  wanted.alpha = wanted.depth = wanted.stencil = wanted.antialias = EM_FALSE;
  wanted.majorVersion = 2;
  wanted.powerPreference = EM_WEBGL_POWER_PREFERENCE_LOW_POWER;
  const EMSCRIPTEN_WEBGL_CONTEXT_HANDLE context = emscripten_webgl_create_context("#instrument", &wanted);
  if (context <= 0) return false;
  emscripten_webgl_make_context_current(context);
  return true;
}

}  // namespace

bool start(FrameFunction on_frame, void* context) {
  Platform& p = platform();
  p.on_frame = on_frame;
  p.frame_context = context;
  p.drawable = make_context();
  ImGuiIO& io = ImGui::GetIO();
  io.BackendPlatformName = "four76 canvas";
  io.IniFilename = nullptr;
  if (p.drawable) ImGui_ImplOpenGL3_Init("#version 300 es");
  js_attach_canvas();  // reports the size at once
  request_settling_frames();
  return p.drawable;
}

void request_frame(double seconds) {
  Platform& p = platform();
  if (seconds > 0.0) p.frames_until_s = std::max(p.frames_until_s, browser::now_s() + seconds);
  if (p.scheduled || !p.on_frame) return;
  p.scheduled = true;
  emscripten_request_animation_frame(on_animation_frame, nullptr);
}

bool begin_frame() {
  Platform& p = platform();
  const double now = browser::now_s();
  const double elapsed_s = std::clamp(now - p.last_frame_s, 0.001, 0.1);
  p.last_frame_s = now;
  if (!p.drawable || p.pixel_width <= 0 || p.pixel_height <= 0) return false;
  js_size_canvas(p.pixel_width, p.pixel_height);

  ImGuiIO& io = ImGui::GetIO();
  io.DisplaySize = ImVec2(p.width, p.height);
  io.DisplayFramebufferScale =
      ImVec2(static_cast<float>(p.pixel_width) / p.width, static_cast<float>(p.pixel_height) / p.height);
  io.DeltaTime = static_cast<float>(elapsed_s);
  ImGui_ImplOpenGL3_NewFrame();
  ImGui::NewFrame();
  return true;
}

void end_frame(std::uint32_t ground_colour) {
  if (platform().finger.settle()) request_frame();
  ImGui::Render();
  const ImVec4 ground = ImGui::ColorConvertU32ToFloat4(ground_colour);
  glClearColor(ground.x, ground.y, ground.z, 1.0f);
  glClear(GL_COLOR_BUFFER_BIT);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
}

double pixel_ratio() { return platform().ratio; }

void reload_fonts() {
  if (!platform().drawable) return;
  ImGui_ImplOpenGL3_DestroyFontsTexture();
  ImGui_ImplOpenGL3_CreateFontsTexture();
}

void follow_drag() { platform().finger.follow(); }

bool touch_in_use() { return platform().touch; }

}  // namespace four76::canvas

// ---- What shell/canvas.js calls -------------------------------------------------------------------------------------
extern "C" {

using namespace four76::canvas;

EMSCRIPTEN_KEEPALIVE void canvas_resized(double width, double height, int pixel_width, int pixel_height, double ratio) {
  Platform& p = platform();
  p.width = static_cast<float>(width);
  p.height = static_cast<float>(height);
  p.pixel_width = pixel_width;
  p.pixel_height = pixel_height;
  p.ratio = ratio;
  request_settling_frames();
}

// Positions in CSS pixels from the canvas' top left corner.
EMSCRIPTEN_KEEPALIVE void canvas_touch_down(double x, double y) {
  platform().touch = true;
  ImGui::GetIO().AddMouseSourceEvent(ImGuiMouseSource_TouchScreen);
  platform().finger.down(point(x, y));
  request_settling_frames();
}
EMSCRIPTEN_KEEPALIVE void canvas_touch_move(double x, double y) {
  platform().finger.move(point(x, y));
  request_settling_frames();
}
EMSCRIPTEN_KEEPALIVE void canvas_touch_up(int cancelled) {
  platform().finger.up(cancelled != 0);
  request_settling_frames();
}
EMSCRIPTEN_KEEPALIVE void canvas_mouse_move(double x, double y) {
  platform().touch = false;
  ImGuiIO& io = ImGui::GetIO();
  io.AddMouseSourceEvent(ImGuiMouseSource_Mouse);
  io.AddMousePosEvent(static_cast<float>(x), static_cast<float>(y));
  request_settling_frames();
}
EMSCRIPTEN_KEEPALIVE void canvas_mouse_leave() {
  ImGui::GetIO().AddMousePosEvent(-FLT_MAX, -FLT_MAX);
  request_settling_frames();
}
EMSCRIPTEN_KEEPALIVE void canvas_mouse_button(int button, int down) {
  if (button < 0 || button > 2) return;
  constexpr int kOfDom[3] = {ImGuiMouseButton_Left, ImGuiMouseButton_Middle, ImGuiMouseButton_Right};
  ImGui::GetIO().AddMouseButtonEvent(kOfDom[button], down != 0);
  request_settling_frames();
}
// Pixels, as browsers send them: positive is down and right.
EMSCRIPTEN_KEEPALIVE void canvas_wheel(double dx, double dy) {
  ImGui::GetIO().AddMouseWheelEvent(static_cast<float>(-dx) / kWheelPxPerUnit,
                                    static_cast<float>(-dy) / kWheelPxPerUnit);
  request_settling_frames();
}
EMSCRIPTEN_KEEPALIVE void canvas_context_lost() {
  Platform& p = platform();
  p.drawable = false;
  ImGui_ImplOpenGL3_DestroyDeviceObjects();
  four76::forget_graphics();
  four76::browser::post(four76::browser::DrawingLost{});
}
// The next begin_frame makes the device objects again.
EMSCRIPTEN_KEEPALIVE void canvas_context_restored() {
  platform().drawable = true;
  four76::browser::post(four76::browser::DrawingRestored{});
  request_settling_frames();
}
EMSCRIPTEN_KEEPALIVE void canvas_redraw() { request_settling_frames(); }

}  // extern "C"
