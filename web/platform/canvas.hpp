// canvas: Dear ImGui's platform side for a canvas in a page.
//
// Pointer events (mouse, pen, touch), wheel, size and devicePixelRatio, WebGL context loss, and frames only
// when somebody asked for one. Coordinates are CSS pixels; the framebuffer scale is the devicePixelRatio.
//
// Touch: a finger down is a mouse press at once. When it then moves further than a tap may, and no item said that it
// follows the finger (follow_drag), the press is taken back without a click. Nothing on the canvas scrolls.
// After a finger leaves, the pointer is parked off-screen so that nothing stays hovered.
#pragma once

#include <cstdint>

namespace four76::canvas {

using FrameFunction = void (*)(void* context);

// Makes the WebGL2 context of the canvas `#instrument`, Dear ImGui's OpenGL backend and all listeners, and asks for the
// first frame. ImGui::CreateContext() comes before it. False where WebGL2 cannot be had: frames still come, since the
// page goes on without a drawing, but begin_frame answers false for ever.
bool start(FrameFunction on_frame, void* context);

// Asks for at least one more frame; `seconds` keeps them coming for that long, for an animation.
void request_frame(double seconds = 0.0);

// At the start and end of the drawing part of a frame. begin_frame answers false while there is nothing to draw on
// (context lost, canvas hidden or without size): skip drawing then, and end_frame too. It sets io.DisplaySize,
// DisplayFramebufferScale and DeltaTime and calls ImGui::NewFrame; end_frame calls ImGui::Render and draws, over a
// ground of that colour (as ImGui packs it).
bool begin_frame();
void end_frame(std::uint32_t ground_colour);

// The devicePixelRatio, known after start() and before the first frame, for rasterising fonts at their true size. When
// it has changed, or the fonts have: build the atlas anew, then reload_fonts(), before begin_frame.
double pixel_ratio();
void reload_fonts();

// Called by an item while it is active and follows the finger (a dial, a slider), so that a drag is not taken back.
void follow_drag();

// True while the last pointer was a finger: targets want 44 px, and nothing hovers.
bool touch_in_use();

}  // namespace four76::canvas
