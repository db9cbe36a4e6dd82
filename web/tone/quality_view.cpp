// The signal's quality: level, noise, how far off it may be in all, both channels, and what else is to be said. A tap
// opens the error budget.
#include <algorithm>
#include <array>
#include <string>

#include "core/phrase.hpp"
#include "web/budget/words.hpp"
#include "web/tone/view.hpp"
#include "web/tone/words.hpp"
#include "web/words/advice.hpp"
#include "web/words/hint.hpp"
#include "web/words/numbers.hpp"

namespace four76::views {
namespace {

constexpr float kLowestDbfs = -80.0F;

struct Rows {
  Rect area;
  float step;
  Rect next() {
    const Rect row{area.x, area.y, area.w, step};
    area.y += step;
    area.h -= step;
    return row;
  }
  [[nodiscard]] bool has_room() const { return area.h >= step * 0.9F; }
};

constexpr std::array<Phrase, 4> kLabels = {Phrase("Level"), Phrase("Noise"), Phrase("Total"), Phrase("Channels")};

float label_width(const draw::Paper& paper) {
  float widest = 0.0F;
  for (const Phrase label : kLabels)
    widest = std::max(widest, draw::extent(paper.fonts.text, draw::size_of(paper.fonts.text), say(label) + "  ").x);
  return widest;
}

Rect labelled(const draw::Paper& paper, Rect row, std::string_view label) {
  const float w = label_width(paper);
  draw::line(paper, paper.fonts.text, paper.ink.dim, row, label);
  return {row.x + w, row.y, row.w - w, row.h};
}

std::string level_text(const Reading& dial) {
  if (!dial.level_dbfs) return say("no tone");
  const bool clipped = dial.reasons.contains(Reason::clipping);
  return std::string(clipped ? tr("too loud##level") : words::level_word(*dial.level_dbfs)) + ", " +
         words::fixed(*dial.level_dbfs, 0) + " dB";
}

// A bar from -80 dBFS to full scale, and the word and figure that say the same.
void level(const draw::Paper& paper, Rect row, const ChannelSnapshot& channel) {
  const Rect rest = labelled(paper, row, tr("Level"));
  const Reading& dial = channel.dial;
  const float text_w =
      draw::extent(paper.fonts.text, draw::size_of(paper.fonts.text), say("too quiet##level") + ", \u221288 dB").x;
  const float bar = std::max(0.0F, rest.w - text_w - 10.0F), y = rest.y + draw::size_of(paper.fonts.text) * 0.5F;
  const auto at = [&](double dbfs) {
    return rest.x + bar * std::clamp(1.0F - static_cast<float>(dbfs) / kLowestDbfs, 0.0F, 1.0F);
  };
  if (bar > 20.0F) {
    paper.list.AddRectFilled({rest.x, y - 4.0F}, {rest.x + bar, y + 4.0F}, paper.ink.lifted, 4.0F);
    if (dial.level_dbfs)
      paper.list.AddRectFilled({rest.x, y - 4.0F}, {at(*dial.level_dbfs), y + 4.0F}, paper.ink.accent, 4.0F);
    if (channel.input_peak_dbfs) {
      const float x = at(*channel.input_peak_dbfs);
      paper.list.AddLine({x, y - 7.0F}, {x, y + 7.0F}, paper.ink.paper, 2.0F);
    }
  }
  draw::line(paper, paper.fonts.text, paper.ink.paper, {rest.right() - text_w, rest.y, text_w, rest.h},
             level_text(dial), draw::Align::right);
}

std::string noise_text(const Reading& reading) {
  if (!reading.carrier_to_noise_dbhz) return say("not known yet");
  return say("{0}, tone {1} over 1 Hz of noise", words::noise_word(*reading.carrier_to_noise_dbhz),
             words::fixed(*reading.carrier_to_noise_dbhz, 0) + " dB");
}

// Large text on a phone: each name above what it stands for.
void narrow_quality(const draw::Paper& paper, Rect area, const Model& model, const ChannelSnapshot& channel) {
  const std::array<std::string, 4> told = {level_text(channel.dial), noise_text(channel.dial), words::in_all(model),
                                           words::channels(model)};
  const float bottom = area.bottom();
  for (std::size_t i = 0; i < told.size(); ++i) {
    const float name = 1.2F * draw::size_of(paper.fonts.small);
    const float text = draw::paragraph_height(paper.fonts.text, area.w, told[i]);
    if (area.y + name + text > bottom) return;
    draw::line(paper, paper.fonts.small, paper.ink.dim, area, say(kLabels[i]));
    draw::paragraph(paper, paper.fonts.text, paper.ink.paper, {area.x, area.y + name, area.w, text}, told[i]);
    area.y += name + text + 3.0F;
  }
}

// What the hint does not say already.
std::string remarks(const Model& model, const Reading& reading) {
  std::string text;
  const std::string hinted = words::hint(model).text;
  for (const Reason reason : reading.reasons) {
    const words::Advice found = words::advice(reason, model);
    if (found.what == hinted) continue;
    text += found.what + " " + found.todo + "\n";
  }
  if (text.empty() && model.capture) text = words::processing(*model.capture);
  return text;
}

}  // namespace

Answer quality(const Model& model, const draw::Paper& paper, Rect area) {
  draw::panel(paper, area);
  const ChannelSnapshot* channel = shown_channel(model);
  Rows rows{area.inset(12.0F, 8.0F), 1.35F * draw::size_of(paper.fonts.text)};
  if (!channel) {
    draw::line(paper, paper.fonts.text, paper.ink.dim, rows.next(), tr("Signal: nothing heard yet"));
    return std::nullopt;
  }
  const bool pressed = draw::tapped(paper, "quality", area, tr("Error budget"));
  if (paper.narrow) {
    narrow_quality(paper, rows.area, model, *channel);
    return pressed ? Answer(intent::ShowHelp{"budget"}) : std::nullopt;
  }
  level(paper, rows.next(), *channel);
  if (rows.has_room()) {
    const Rect row = rows.next();
    draw::line(paper, paper.fonts.text, paper.ink.paper, labelled(paper, row, tr("Noise")), noise_text(channel->dial));
  }
  if (rows.has_room()) {
    const Rect row = rows.next();
    draw::line(paper, paper.fonts.text, paper.ink.paper, labelled(paper, row, tr("Total")), words::in_all(model));
  }
  if (rows.has_room()) {
    const Rect row = rows.next();
    const ImU32 colour = model.snapshot->channels_agree == false ? paper.ink.warning : paper.ink.paper;
    draw::line(paper, paper.fonts.text, colour, labelled(paper, row, tr("Channels")), words::channels(model));
  }
  if (rows.has_room())
    draw::paragraph(paper, paper.fonts.small, paper.ink.dim, rows.area, remarks(model, *shown_reading(model)));
  return pressed ? Answer(intent::ShowHelp{"budget"}) : std::nullopt;
}

}  // namespace four76::views
