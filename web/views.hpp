// views: what each part of the instrument draws. A view is a function of the model and its rectangle; it changes
// nothing and answers with what the person asked for, if anything. One source file each.
#pragma once

#include <optional>

#include "web/draw/paper.hpp"
#include "web/intent.hpp"
#include "web/model.hpp"
#include "web/place/layout.hpp"

namespace four76::views {

using Answer = std::optional<Intent>;

Answer status(const Model& model, const draw::Paper& paper, Rect area);     // what runs, which tone, which tolerance
Answer figure(const Model& model, const draw::Paper& paper, Rect area);     // the speed error, huge
Answer hint(const Model& model, const draw::Paper& paper, Rect area);       // what to do now
Answer ribbon(const Model& model, const draw::Paper& paper, Rect area);     // the last half minute, written on tape
Answer quality(const Model& model, const draw::Paper& paper, Rect area);    // level, noise, channels, reasons
Answer spectrum(const Model& model, const draw::Paper& paper, Rect area);   // what the microphone hears
Answer zoom(const Model& model, const draw::Paper& paper, Rect area);       // the same around the tone
Answer budget(const Model& model, const draw::Paper& paper, Rect area);     // how far off it may be in all
Answer trimmer(const Model& model, const draw::Paper& paper, Rect area);    // the demo's screw
Answer flutter(const Model& model, const draw::Paper& paper, Rect area);    // wow and flutter's figures
Answer rates(const Model& model, const draw::Paper& paper, Rect area);      // at which rates the speed wavers
Answer causes(const Model& model, const draw::Paper& paper, Rect area);     // what they come from
Answer measure(const Model& model, const draw::Paper& paper, Rect area);    // half a minute at either end of the tape
Answer song(const Model& model, const draw::Paper& paper, Rect area);       // the song bench
Answer alignment(const Model& model, const draw::Paper& paper, Rect area);  // how a tape runs along its song
Answer start(const Model& model, const draw::Paper& paper, Rect area);      // ways to begin, while nothing runs

}  // namespace four76::views
