#include "web/platform/imgui_stand_ins.hpp"

#include <GLES3/gl3.h>

#include <algorithm>
#include <cstdarg>

#include "imgui.h"
#include "imgui_internal.h"

// Its own would draw its built-in font into the program, 10 KB: there is always one of ours.
ImFont* ImFontAtlas::AddFontDefault(const ImFontConfig* /*config*/) { return nullptr; }

// 3 KB: there is one window, that of the whole canvas, which is not remembered, does not scroll and opens no others.
void ImGui::AddSettingsHandler(const ImGuiSettingsHandler* /*handler*/) {}
void ImGui::Scrollbar(ImGuiAxis /*axis*/) {}
ImVec2 ImGui::FindBestWindowPosForPopup(ImGuiWindow* window) { return window->Pos; }
ImVec2 ImGui::ScrollToRectEx(ImGuiWindow* /*window*/, const ImRect& /*rect*/, ImGuiScrollFlags /*flags*/) { return {}; }

namespace {
GLuint kept_vertex_array = 0;
}

namespace four76 {
void forget_graphics() noexcept { kept_vertex_array = 0; }
}  // namespace four76

extern "C" {

// For glGenVertexArrays and glDeleteVertexArrays: its back end makes one each frame and takes it away again. Emscripten
// numbers them without end and keeps a place for each, so that the page grew by some 300 KB an hour.
void four76_gl_take_vertex_array(GLsizei /*count*/, GLuint* name) {
  if (kept_vertex_array == 0) glGenVertexArrays(1, &kept_vertex_array);
  *name = kept_vertex_array;
}
void four76_gl_leave_vertex_array(GLsizei /*count*/, const GLuint* /*name*/) {}

// For sscanf, 5 KB: a whole number behind the format's words, as in "#version %d".
int four76_scan_number(const char* text, const char* format, ...) {
  while (*format && *format == *text) ++format, ++text;
  if (format[0] != '%' || format[1] != 'd' || format[2] != '\0' || *text < '0' || *text > '9') return 0;
  va_list arguments;  // NOLINT(cppcoreguidelines-init-variables): va_start sets it
  va_start(arguments, format);
  int* const number = va_arg(arguments, int*);
  va_end(arguments);
  for (*number = 0; *text >= '0' && *text <= '9'; ++text) *number = 10 * *number + (*text - '0');
  return 1;
}

// For glGetIntegerv and glIsEnabled. Each frame its back end asks what was set, twenty questions, to set it so again
// when it has drawn; in a browser an answer waits until the graphics process has done all that went before. Nobody else
// draws in this context, so the state of a fresh one is good enough to go back to.
void four76_gl_integer(GLenum name, GLint* value) {
  switch (name) {
    case GL_VIEWPORT:
    case GL_SCISSOR_BOX: std::fill_n(value, 4, 0); break;
    case GL_MAJOR_VERSION: *value = 3; break;
    case GL_ACTIVE_TEXTURE: *value = GL_TEXTURE0; break;
    case GL_BLEND_EQUATION_RGB:
    case GL_BLEND_EQUATION_ALPHA: *value = GL_FUNC_ADD; break;
    case GL_BLEND_SRC_RGB:
    case GL_BLEND_SRC_ALPHA: *value = GL_ONE; break;
    default: *value = 0; break;
  }
}

GLboolean four76_gl_enabled(GLenum /*capability*/) { return GL_FALSE; }

}  // extern "C"
