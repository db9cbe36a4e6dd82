#include "web/place/layout.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace four76 {
namespace {

constexpr float kGap = 8.0F;
constexpr float kLeastRates = 100.0F;  // the height below which wow and flutter's spectrum is left out

// "+0.0" and the small unit after it in B612 bold, and the height of its digits, to the size of the font. With more
// digits the view makes it smaller.
constexpr float kFigureWidth = 2.24F, kFigureHeight = 0.72F;
constexpr float kSmallestFigurePx = 40.0F, kLargestFigurePx = 320.0F;

// Hands out rows from the top of a column.
class Column {
 public:
  Column(float x, float y, float w, float h) : x_(x), y_(y), w_(w), bottom_(y + h) {}
  [[nodiscard]] float left_over() const { return bottom_ - y_; }
  Rect take(float h) {
    const Rect row{x_, y_, w_, std::max(0.0F, std::min(h, left_over()))};
    y_ += row.h + kGap;
    return row;
  }
  Rect take_rest() { return take(left_over()); }

 private:
  float x_, y_, w_, bottom_;
};

// Under the digits stand the frequency, to be read at 1.5 m (30 px are 3.4 mm of digits on a phone, 8 minutes of arc:
// derived), and a line of text; on a small canvas both are text.
void size_foot(Layout& layout, float height) {
  constexpr float kLine = 1.3F, kSmallCanvas = 430.0F;
  const bool small = height < kSmallCanvas && layout.shape == Shape::tall;
  layout.reading_px = (small ? 1.0F : layout.shape == Shape::low ? 1.8F : 2.0F) * layout.text_px;
  layout.foot_px = kLine * layout.text_px + kLine * layout.reading_px;
}

float figure_px(const Rect& figure, float foot_px) {
  const float room = figure.h - foot_px - 4.0F;
  const float px = std::min(figure.w / kFigureWidth, room / kFigureHeight);
  return std::clamp(std::floor(px / 4.0F) * 4.0F, kSmallestFigurePx, kLargestFigurePx);
}

// "0.128 %", and what the lines under it leave.
float flutter_px(const Rect& flutter) {
  constexpr float kWidth = 4.4F, kPart = 0.42F;
  const float px = std::min(flutter.w / kWidth, kPart * flutter.h / kFigureHeight);
  return std::clamp(std::floor(px / 4.0F) * 4.0F, kSmallestFigurePx, kLargestFigurePx);
}

// The spectrum's row, with the zoom beside it where there is width for both.
void split_spectrum(Layout& layout, Rect row) {
  constexpr float kLeast = 72.0F, kBoth = 520.0F, kStacked = 230.0F;
  if (row.h < kLeast) return;
  layout.spectrum = row;
  if (row.w >= kBoth) {
    const float w = (row.w - kGap) * 0.62F;
    layout.spectrum.w = w;
    layout.zoom = {row.x + w + kGap, row.y, row.w - w - kGap, row.h};
  } else if (row.h >= kStacked) {
    const float h = (row.h - kGap) / 2.0F;
    layout.spectrum.h = h;
    layout.zoom = {row.x, row.y + h + kGap, row.w, h};
  }
}

// The budget's five rows beside the spectrum.
void split_budget(Layout& layout) {
  const float rows = 5.0F * 1.35F * layout.text_px + 16.0F, w = 0.34F * layout.spectrum.w;
  if (layout.spectrum.h < rows || w < 16.0F * layout.text_px) return;
  layout.spectrum.w -= w + kGap;
  layout.budget = {layout.spectrum.right() + kGap, layout.spectrum.y, w, layout.spectrum.h};
}

// The song bench stands as the ways to begin do.
bool begins(Stage stage) { return stage == Stage::start || stage == Stage::song || stage == Stage::match; }

// Gives what is left at the bottom to the ribbon and moves the rest down.
void stretch(Layout& layout, float bottom) {
  const float used = std::max({layout.ribbon.bottom(), layout.trimmer.bottom(), layout.quality.bottom()});
  const float spare = std::max(0.0F, bottom - used);
  layout.ribbon.h += spare;
  layout.trimmer.y += spare;
  layout.quality.y += spare;
}

void tall(Layout& layout, Rect area, Stage stage) {
  const float text = layout.text_px, status = 2.0F * text;
  const float trimmer = stage == Stage::demo ? std::clamp(0.19F * area.h, 92.0F, 150.0F) : 0.0F;
  float figure = std::clamp(0.3F * area.h, 45.0F + layout.foot_px, 0.27F * area.w + layout.foot_px + 16.0F);
  float hint = std::min(7.4F * text, 0.2F * area.h),
        ribbon =
            std::clamp((stage == Stage::match ? 0.3F : 0.19F) * area.h, 60.0F, stage == Stage::match ? 300.0F : 170.0F);
  // A very small canvas: everything gives way a little.
  const float room = area.h - status - trimmer - 4.0F * kGap;
  const float shrink = std::min(1.0F, room / (figure + hint + ribbon));
  figure *= shrink, hint *= shrink, ribbon *= shrink;
  // And a little more where that makes room for the quality.
  const float lack = 6.6F * text - (room - figure - hint - ribbon - kGap);
  const float from_ribbon = std::clamp(lack, 0.0F, std::max(0.0F, ribbon - 56.0F));
  const float from_figure = std::max(0.0F, lack - from_ribbon);
  if (stage == Stage::signal && figure - from_figure >= 56.0F + layout.foot_px) {
    figure -= from_figure;
    ribbon -= from_ribbon;
  }

  Column rows(area.x, area.y, area.w, area.h);
  layout.status = rows.take(status);
  layout.figure = rows.take(figure);
  layout.hint = rows.take(hint);
  layout.ribbon = rows.take(ribbon);
  if (begins(stage)) {
    layout.start = rows.take_rest();
    return;
  }
  if (stage == Stage::demo) layout.trimmer = rows.take(trimmer);
  const float quality = rows.left_over() > 290.0F ? 8.6F * text : 6.6F * text;
  if (rows.left_over() >= quality + (stage == Stage::demo ? 100.0F : 0.0F)) layout.quality = rows.take(quality);
  split_spectrum(layout, rows.take_rest());
  if (layout.spectrum.empty()) stretch(layout, area.bottom());
}

void low(Layout& layout, Rect area, Stage stage) {
  const float text = layout.text_px, half = (area.w - kGap) * 0.52F;
  Column left(area.x, area.y, half, area.h);
  layout.status = left.take(2.0F * text);
  layout.figure = left.take(std::max(90.0F, left.left_over() - 6.4F * text - kGap));
  layout.hint = left.take_rest();
  Column right(area.x + half + kGap, area.y, area.w - half - kGap, area.h);
  layout.ribbon = right.take((stage == Stage::match ? 0.5F : stage == Stage::song ? 0.26F : 0.36F) * area.h);
  if (begins(stage)) {
    layout.start = right.take_rest();
    return;
  }
  if (stage == Stage::demo) {
    layout.trimmer = right.take(std::max(84.0F, 0.32F * area.h));
  } else if (right.left_over() >= 9.0F * text) {
    layout.quality = right.take(5.4F * text);
  }
  split_spectrum(layout, right.take_rest());
}

void wide(Layout& layout, Rect area, Stage stage) {
  const float text = layout.text_px, left_w = (area.w - 2.0F * kGap) * 0.6F;
  layout.status = {area.x, area.y, area.w, 2.0F * text};
  const float top = area.y + layout.status.h + kGap, below = area.h - layout.status.h - kGap;
  const float head = 0.49F * below, ribbon = std::clamp(0.24F * below, 110.0F, 240.0F);
  Column left(area.x, top, left_w, head);
  layout.figure = left.take(head - 5.0F * text - kGap);
  layout.hint = left.take_rest();
  Column right(area.x + left_w + 2.0F * kGap, top, area.w - left_w - 2.0F * kGap, head);
  Column rest(area.x, top + head + kGap, area.w, below - head - kGap);
  layout.ribbon = rest.take(ribbon);
  switch (stage) {
    case Stage::start:
    case Stage::song:
    case Stage::match:
      layout.start = right.take_rest();
      layout.ribbon.h = std::min(2.0F * ribbon, area.bottom() - layout.ribbon.y);
      return;
    case Stage::signal:
      layout.quality = right.take(std::min(8.8F * text, 0.62F * head));
      layout.zoom = right.take_rest();
      layout.spectrum = rest.take_rest();
      split_budget(layout);
      return;
    case Stage::demo:
      layout.trimmer = right.take(0.55F * head);
      layout.quality = right.take_rest();
      split_spectrum(layout, rest.take_rest());
      return;
    case Stage::flutter: return;  // stands otherwise
  }
}

// Wow and flutter, one under the other: the figures need most, the spectrum takes the rest.
void tall_flutter(Layout& layout, Rect area) {
  const float text = layout.text_px, measure = std::min(56.0F + 2.6F * text, 0.2F * area.h);
  const float causes = std::clamp(0.14F * area.h, 3.4F * text, 6.6F * text);
  Column rows(area.x, area.y, area.w, area.h);
  layout.status = rows.take(2.0F * text);
  const float left = rows.left_over() - measure - causes - 2.0F * kGap;
  const float ribbon = std::clamp(0.16F * left, 48.0F, 130.0F);
  float figures = std::min(15.5F * text, left - ribbon - kGap);
  const float rates = left - ribbon - figures - 2.0F * kGap;
  if (rates < kLeastRates) figures = left - ribbon - kGap;
  layout.flutter = rows.take(figures);
  layout.causes = rows.take(causes);
  layout.ribbon = rows.take(ribbon);
  if (rates >= kLeastRates) layout.rates = rows.take(rates);
  layout.measure = rows.take_rest();
}

void low_flutter(Layout& layout, Rect area) {
  const float text = layout.text_px, half = (area.w - kGap) * 0.46F;
  Column left(area.x, area.y, half, area.h);
  layout.status = left.take(2.0F * text);
  layout.flutter = left.take(std::max(120.0F, left.left_over() - std::min(5.4F * text, 0.26F * area.h) - kGap));
  layout.causes = left.take_rest();
  Column right(area.x + half + kGap, area.y, area.w - half - kGap, area.h);
  layout.ribbon = right.take(std::max(48.0F, 0.22F * area.h));
  const float measure = 52.0F + 2.6F * text;
  if (right.left_over() - measure - kGap >= kLeastRates) layout.rates = right.take(right.left_over() - measure - kGap);
  layout.measure = right.take_rest();
}

void wide_flutter(Layout& layout, Rect area) {
  const float text = layout.text_px, left_w = (area.w - 2.0F * kGap) * 0.5F;
  layout.status = {area.x, area.y, area.w, 2.0F * text};
  const float top = area.y + layout.status.h + kGap, below = area.h - layout.status.h - kGap;
  const float head = std::clamp(0.42F * below, 13.0F * text, 22.0F * text);
  layout.flutter = {area.x, top, left_w, head};
  Column right(area.x + left_w + 2.0F * kGap, top, area.w - left_w - 2.0F * kGap, head);
  layout.causes = right.take(head - std::min(56.0F + 3.9F * text, 0.5F * head) - kGap);
  layout.measure = right.take_rest();
  Column rest(area.x, top + head + kGap, area.w, below - head - kGap);
  layout.ribbon = rest.take(std::clamp(0.2F * below, 80.0F, 180.0F));
  layout.rates = rest.take_rest();
}

// Large text on a phone: one row under the other, each as high as its words want it.
void narrow(Layout& layout, Rect area, Stage stage) {
  const float text = layout.text_px;
  Column rows(area.x, area.y, area.w, area.h);
  layout.status = rows.take(4.2F * text);  // two lines
  if (stage == Stage::flutter) {
    layout.flutter = rows.take(27.0F * text);
    layout.causes = rows.take(11.0F * text);
    layout.ribbon = rows.take(5.0F * text);
    layout.rates = rows.take(11.0F * text);
    layout.measure = rows.take(88.0F + 8.0F * text);  // two buttons
    return;
  }
  layout.figure = rows.take(0.27F * area.w + layout.foot_px + 16.0F);
  layout.hint = rows.take(17.0F * text);
  layout.ribbon = rows.take((stage == Stage::match ? 12.0F : 5.0F) * text);
  if (begins(stage)) {
    layout.start = rows.take(26.0F * text);
    return;
  }
  if (stage == Stage::demo) layout.trimmer = rows.take(13.0F * text);
  layout.quality = rows.take(13.0F * text);
  layout.spectrum = rows.take(11.0F * text);
}

}  // namespace

float least_height(float width, Stage stage) noexcept {
  constexpr float kTwoColumns = 560.0F, kOfThem = 300.0F;  // a phone on its side
  constexpr float kOneColumn = 540.0F, kScrew = 60.0F;     // a small phone upright
  if (width >= kTwoColumns) return kOfThem;
  if (width >= kNarrowWidth) return kOneColumn + (stage == Stage::demo ? kScrew : 0.0F);
  constexpr float kEndless = 1e4F;
  const Layout at = lay_out(width, kEndless, stage);
  return std::max({at.spectrum.bottom(), at.start.bottom(), at.song.bottom(), at.measure.bottom()}) + kGap;
}

Layout lay_out(float width, float height, Stage stage) noexcept {
  Layout layout;
  const float margin = width < kNarrowWidth ? 8.0F : width < 400.0F ? 10.0F : 14.0F;
  const Rect area = Rect{0.0F, 0.0F, width, height}.inset(margin, 8.0F);
  const bool is_narrow = width < kNarrowWidth, is_tall = is_narrow || height >= 0.95F * width,
             is_low = !is_tall && height < 480.0F;
  layout.shape = is_tall ? Shape::tall : is_low ? Shape::low : Shape::wide;
  const float seen = is_narrow ? width : height;  // at once
  layout.text_px = std::clamp(std::floor(std::sqrt(width * seen) / 35.0F), 13.0F, 20.0F);
  size_foot(layout, height);
  if (is_narrow)
    narrow(layout, area, stage);
  else if (stage == Stage::flutter)
    (is_tall ? tall_flutter : is_low ? low_flutter : wide_flutter)(layout, area);
  else
    (is_tall ? tall : is_low ? low : wide)(layout, area, stage);
  if (stage == Stage::song || stage == Stage::match) layout.song = std::exchange(layout.start, {});
  if (stage == Stage::match) layout.alignment = std::exchange(layout.ribbon, {});
  layout.figure_px = stage == Stage::flutter ? flutter_px(layout.flutter) : figure_px(layout.figure, layout.foot_px);
  return layout;
}

}  // namespace four76
