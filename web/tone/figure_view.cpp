// The figure: the speed error, as large as the canvas lets it be. A number that cannot be trusted is dimmed and struck
// through, and the reason stands where its uncertainty would; where there is no number, words stand in its place.
#include <algorithm>
#include <string>

#include "core/phrase.hpp"
#include "web/budget/budget.hpp"
#include "web/song/words.hpp"
#include "web/tone/view.hpp"
#include "web/words/hint.hpp"
#include "web/words/numbers.hpp"

namespace four76::views {
namespace {

using draw::Align;

constexpr const char* kDash = "\u2013";
constexpr float kUnitGap = 0.1F;     // before the unit, of the digits' size
constexpr float kCapHeight = 0.66F;  // of B612's digits, of the font's size
constexpr float kBaseline = 0.79F;   // from the top of a line
constexpr float kCommaDepth = 0.2F;  // of a decimal comma below it

struct Digits {
  float size = 0.0F, unit_size = 0.0F, sign_width = 0.0F, number_width = 0.0F, width = 0.0F;
};

Digits measure(const ImFont* font, float size, const words::Figure& figure) {
  Digits digits;
  digits.size = size;
  digits.unit_size = size * (figure.unit == "%" ? 0.42F : 0.26F);
  // Zero has no sign, but its place is kept: the digits must not hop.
  const bool wants_sign = figure.unit != "Hz" && figure.number.starts_with('0');
  digits.sign_width = wants_sign ? draw::extent(font, size, "+").x : 0.0F;
  digits.number_width = draw::extent(font, size, figure.number).x;
  digits.width =
      digits.sign_width + digits.number_width + kUnitGap * size + draw::extent(font, digits.unit_size, figure.unit).x;
  return digits;
}

// Of the digits' size.
float depth_of(const words::Figure& figure) {
  return figure.number.find(',') == std::string::npos ? 0.0F : kCommaDepth;
}

Digits fit(const ImFont* font, Rect area, const words::Figure& figure) {
  const float tall = kCapHeight + depth_of(figure);
  const Digits wanted = measure(font, std::min(draw::size_of(font), area.h / tall), figure);
  return wanted.width <= area.w ? wanted : measure(font, wanted.size * area.w / wanted.width, figure);
}

void strike(const draw::Paper& paper, ImVec2 from, float width, float size) {
  paper.list.AddLine({from.x - 6.0F, from.y + size * 0.6F}, {from.x + width + 6.0F, from.y + size * 0.34F},
                     paper.ink.warning, std::max(3.0F, size * 0.035F));
}

void number(const draw::Paper& paper, Rect area, const words::Figure& figure, bool good) {
  const ImFont* font = paper.fonts.figure;
  const Digits digits = fit(font, area, figure);
  const float middle = (kBaseline - 0.5F * kCapHeight) * digits.size;  // of the digits, from the top of their line
  const ImVec2 at(area.x + (area.w - digits.width) * 0.5F + digits.sign_width,
                  area.y + (area.h - depth_of(figure) * digits.size) * 0.5F - middle);
  const ImU32 colour = good ? paper.ink.paper : theme::faded(paper.ink.dim, 0.55F);
  paper.list.AddText(font, digits.size, at, colour, figure.number.c_str());
  // The unit stands on the digits' line.
  const ImVec2 unit_at(at.x + digits.number_width + kUnitGap * digits.size,
                       at.y + kBaseline * (digits.size - digits.unit_size));
  paper.list.AddText(font, digits.unit_size, unit_at, good ? paper.ink.dim : colour, figure.unit.c_str());
  if (!good) strike(paper, at, digits.number_width, digits.size);
}

std::string_view in_place_of_a_number(const Model& model) {
  if (in_song(model)) return words::song_in_place_of_a_number(model);
  switch (model.phase) {
    case Phase::asking: return tr("Asking\u2026");
    case Phase::measuring_file: return tr("Measuring\u2026");
    default: return trust(model) == Trust::waiting ? tr("Listening\u2026") : tr("No reading");
  }
}

// A dash where the digits would be, and the words under it.
void no_number(const draw::Paper& paper, Rect area, const Model& model) {
  const ImFont* huge = paper.fonts.figure;
  const float size = std::min(draw::size_of(huge), area.h / kCapHeight);
  const ImVec2 dash = draw::extent(huge, size, kDash);
  paper.list.AddText(huge, size, {area.x + (area.w - dash.x) * 0.5F, area.y + area.h * 0.5F - 0.5F * size},
                     paper.ink.line, kDash);
  const ImFont* font = paper.fonts.strong;
  const float h = draw::size_of(font);
  draw::line(paper, font, paper.ink.dim, {area.x, area.bottom() - 0.4F * h, area.w, h}, in_place_of_a_number(model),
             Align::centre);
}

std::string value(const Reading& reading, Unit unit) {
  if (unit == Unit::hertz && reading.frequency_hz) return words::frequency(reading);
  return unit == Unit::cents ? words::cents(reading) : words::speed_error(reading);
}

// "3054.3 Hz": what the figure's unit does not say; a song has no frequency.
std::string in_another_unit(const Reading& reading, Unit unit) {
  if (unit == Unit::hertz || !reading.frequency_hz)
    return unit == Unit::percent ? words::cents(reading) : words::speed_error(reading);
  return words::frequency(reading);
}

// What the reading that is judged by rests on.
std::string mean_of(const Model& model, const Reading& judged) {
  const std::string seconds = words::fixed(judged.trusted_s, judged.trusted_s < 1.0 ? 1 : 0) + " s";
  if (is_file(model))
    return say(in_song(model) ? Phrase("mean of {0} of the tape") : Phrase("mean of {0} of tone"), seconds);
  return say("mean of {0}", seconds);
}

// One ±, and it is all that may be off: the mean that the verdict goes by, to be read from afar; beside it the other
// units.
void below(const draw::Paper& paper, Rect row, const Model& model, Trust trusted) {
  const float small = 1.25F * draw::size_of(paper.fonts.text), h = row.h - small;
  const Rect second{row.x, row.y + h, row.w, small};
  const Reading* const judged = judged_reading(model);
  if (trusted == Trust::good && judged) {
    const Reading reading = in_all(model, *judged);
    const Unit unit = model.settings.unit;
    draw::line(paper, paper.fonts.reading, paper.ink.paper, row,
               value(reading, unit) + "  " + words::uncertainty(reading, unit), Align::centre);
    draw::line(paper, paper.fonts.text, paper.ink.dim, second,
               mean_of(model, *judged) + "   " + in_another_unit(*judged, unit), Align::centre);
  } else if (trusted == Trust::doubtful) {
    draw::line(paper, paper.fonts.strong, paper.ink.warning, row, tr("Not to be trusted"), Align::centre);
    draw::line(paper, paper.fonts.text, paper.ink.dim, second, words::hint(model).text, Align::centre);
  }
}

}  // namespace

Answer figure(const Model& model, const draw::Paper& paper, Rect area) {
  const float foot = 1.3F * (draw::size_of(paper.fonts.text) + draw::size_of(paper.fonts.reading));
  const Rect total{area.x, area.bottom() - foot, area.w, foot};
  // On the lowest phones both halves can still be hit.
  const Rect lower{area.x, std::max(total.y, area.y + 0.5F * area.h), area.w, std::min(total.h, 0.5F * area.h)};
  const Trust trusted = trust(model);
  const bool doubtful = trusted == Trust::doubtful;
  const bool asks_for_total = draw::tapped(paper, "total", lower, doubtful ? tr("What to do") : tr("Error budget"));
  const bool pressed = draw::tapped(paper, "figure", {area.x, area.y, area.w, area.h - lower.h}, tr("Another unit"));
  const Rect middle{area.x + 4.0F, area.y, area.w - 8.0F, area.h - foot - 4.0F};
  const bool any = trusted == Trust::good || trusted == Trust::doubtful;
  const auto shown =
      any ? words::figure(*shown_reading(model), model.settings.unit, model.figure_decimals) : std::nullopt;
  if (shown)
    number(paper, middle, *shown, trusted == Trust::good);
  else
    no_number(paper, middle, model);
  below(paper, total, model, trusted);
  if (asks_for_total) return intent::ShowHelp{doubtful ? "trouble" : "budget"};
  return pressed ? Answer(intent::NextUnit{}) : std::nullopt;
}

}  // namespace four76::views
