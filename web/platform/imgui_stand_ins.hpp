// imgui_stand_ins: what Dear ImGui calls here in place of its own or of a library's, because the page cannot afford the
// latter. web/CMakeLists.txt turns the calls to these; the source says what each saves.
#pragma once

namespace four76 {

// What was made in a WebGL context that is lost is gone with it.
void forget_graphics() noexcept;

}  // namespace four76
