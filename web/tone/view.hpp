// The speed: how far off, its course, how well it is heard.
#pragma once

#include "web/view.hpp"

namespace four76::views {

Answer figure(const Model& model, const draw::Paper& paper, Rect area);    // the speed error, huge
Answer ribbon(const Model& model, const draw::Paper& paper, Rect area);    // the last half minute, written on tape
Answer quality(const Model& model, const draw::Paper& paper, Rect area);   // level, noise, channels, reasons
Answer spectrum(const Model& model, const draw::Paper& paper, Rect area);  // what the microphone hears
Answer zoom(const Model& model, const draw::Paper& paper, Rect area);      // the same around the tone

}  // namespace four76::views
