// Where the views stand: inside the canvas, apart from each other, and the needed ones never left out.
#include "web/place/layout.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <string>
#include <vector>

namespace four76 {
namespace {

struct Size {
  float w, h;
};
// Canvases of phones upright and on their side, tablets and desktops, and down to what 320 x 480 leaves.
constexpr std::array<Size, 12> kSizes = {{{390, 745},
                                          {390, 844},
                                          {360, 560},
                                          {320, 370},
                                          {320, 480},
                                          {740, 390},
                                          {844, 330},
                                          {568, 270},
                                          {768, 960},
                                          {1024, 700},
                                          {980, 690},
                                          {1920, 1000}}};
constexpr std::array<Stage, 6> kStages = {Stage::start,   Stage::signal, Stage::demo,
                                          Stage::flutter, Stage::song,   Stage::match};

std::vector<Rect> all_of(const Layout& at) {
  return {at.status,  at.figure, at.hint,    at.ribbon, at.quality, at.spectrum, at.zoom,
          at.trimmer, at.start,  at.flutter, at.rates,  at.measure, at.song,     at.alignment};
}

bool overlap(const Rect& a, const Rect& b) {
  if (a.empty() || b.empty()) return false;
  return a.x < b.right() && b.x < a.right() && a.y < b.bottom() && b.y < a.bottom();
}

template <class Check>
void everywhere(Check check) {
  for (const Size size : kSizes)
    for (const Stage stage : kStages) {
      SCOPED_TRACE(std::to_string(size.w) + " x " + std::to_string(size.h) + ", stage " +
                   std::to_string(static_cast<int>(stage)));
      check(size, stage, lay_out(size.w, size.h, stage));
    }
}

TEST(Layout, ViewsStayOnTheCanvas) {
  everywhere([](Size size, Stage, const Layout& at) {
    for (const Rect& rect : all_of(at)) {
      if (rect.empty()) continue;
      EXPECT_GE(rect.x, 0.0F);
      EXPECT_GE(rect.y, 0.0F);
      EXPECT_LE(rect.right(), size.w);
      EXPECT_LE(rect.bottom(), size.h);
    }
  });
}

TEST(Layout, ViewsDoNotOverlap) {
  everywhere([](Size, Stage, const Layout& at) {
    const std::vector<Rect> rects = all_of(at);
    for (std::size_t i = 0; i < rects.size(); ++i)
      for (std::size_t j = i + 1; j < rects.size(); ++j) EXPECT_FALSE(overlap(rects[i], rects[j])) << i << " and " << j;
  });
}

TEST(Layout, FigureHintAndRibbonAreAlwaysThere) {
  everywhere([](Size, Stage stage, const Layout& at) {
    if (stage == Stage::flutter) return;
    EXPECT_GE(at.figure.h, 60.0F);
    EXPECT_GE(at.hint.h, 40.0F);
    EXPECT_GE(stage == Stage::match ? at.alignment.h : at.ribbon.h, 44.0F);
  });
}

TEST(Layout, FigureFillsAPhonesWidth) {
  const Layout at = lay_out(390.0F, 745.0F, Stage::signal);
  // "+1.8 %" is 2.2 times as wide as the font is high.
  EXPECT_GT(2.2F * at.figure_px, 0.85F * 390.0F);
}

TEST(Layout, ScrewLeavesRoomForAThumb) {
  for (const Size size : kSizes)
    EXPECT_GE(lay_out(size.w, size.h, Stage::demo).trimmer.h, 70.0F) << size.w << " x " << size.h;
}

TEST(Layout, EachStageShowsItsOwn) {
  everywhere([](Size, Stage stage, const Layout& at) {
    EXPECT_EQ(at.start.empty(), stage != Stage::start);
    EXPECT_EQ(at.trimmer.empty(), stage != Stage::demo);
    EXPECT_EQ(at.song.empty(), stage != Stage::song && stage != Stage::match);
    EXPECT_EQ(at.alignment.empty(), stage != Stage::match);
  });
}

TEST(Layout, WowAndFlutterHaveTheirFiguresTheRibbonAndTheMeasurementEverywhere) {
  for (const Size size : kSizes) {
    SCOPED_TRACE(std::to_string(size.w) + " x " + std::to_string(size.h));
    const Layout at = lay_out(size.w, size.h, Stage::flutter);
    EXPECT_GE(at.flutter.h, 120.0F);
    EXPECT_GE(at.ribbon.h, 44.0F);
    EXPECT_GE(at.measure.h, 44.0F + 12.0F + at.text_px);  // a button for a finger, and a line under it
    EXPECT_TRUE(at.figure.empty() && at.hint.empty() && at.spectrum.empty());
    EXPECT_LT(4.0F * at.figure_px, at.flutter.w);
  }
}

TEST(Layout, PhonesAndDesktopsShowAtWhichRatesTheSpeedWavers) {
  for (const Size size : {Size{390, 745}, Size{740, 390}, Size{980, 690}, Size{1920, 1000}})
    EXPECT_GE(lay_out(size.w, size.h, Stage::flutter).rates.h, 100.0F) << size.w << " x " << size.h;
}

TEST(Layout, PhonesAndDesktopsShowTheSpectrum) {
  for (const Size size : {Size{390, 745}, Size{740, 390}, Size{980, 690}, Size{1920, 1000}})
    EXPECT_FALSE(lay_out(size.w, size.h, Stage::signal).spectrum.empty()) << size.w << " x " << size.h;
}

TEST(Layout, ShapesFollowTheCanvas) {
  EXPECT_EQ(lay_out(390.0F, 745.0F, Stage::signal).shape, Shape::tall);
  EXPECT_EQ(lay_out(740.0F, 390.0F, Stage::signal).shape, Shape::low);
  EXPECT_EQ(lay_out(980.0F, 690.0F, Stage::signal).shape, Shape::wide);
}

TEST(Layout, TheSmallestPhoneStillTellsTheQuality) {
  const Layout layout = lay_out(320.0F, 388.0F, Stage::signal);  // 320 x 480 without the page's own rows
  EXPECT_FALSE(layout.quality.empty());
  EXPECT_GE(layout.ribbon.h, 55.0F);
  EXPECT_LE(layout.quality.bottom(), 388.0F);
}

TEST(Layout, TheBudgetStandsBesideTheSpectrumWhereThereIsRoom) {
  const Layout desktop = lay_out(980.0F, 690.0F, Stage::signal);
  EXPECT_FALSE(desktop.budget.empty());
  EXPECT_GE(desktop.budget.x, desktop.spectrum.right());
  EXPECT_TRUE(lay_out(390.0F, 730.0F, Stage::signal).budget.empty());
}

// Large text is a larger drawing on as large a screen: in its own pixels a narrower one. The page gives it the height
// that it asks for.
constexpr std::array<Size, 6> kScreens = {{{390, 844}, {320, 568}, {844, 390}, {820, 1180}, {1280, 800}, {1920, 1080}}};

template <class Check>
void with_large_text(Check check) {
  for (const float scale : {1.1F, 1.25F, 1.5F, 2.0F})
    for (const Size size : kScreens)
      for (const Stage stage : kStages) {
        SCOPED_TRACE(std::to_string(size.w) + " px at " + std::to_string(scale) + ", stage " +
                     std::to_string(static_cast<int>(stage)));
        const float w = size.w / scale, h = std::max(least_height(w, stage), 0.5F * size.h / scale);
        check(Size{w, h}, stage, lay_out(w, h, stage));
      }
}

TEST(Layout, LargeTextNeitherOverlapsNorLeavesTheCanvas) {
  with_large_text([](Size size, Stage, const Layout& at) {
    const std::vector<Rect> rects = all_of(at);
    for (std::size_t i = 0; i < rects.size(); ++i) {
      if (rects[i].empty()) continue;
      EXPECT_GE(rects[i].x, 0.0F);
      EXPECT_LE(rects[i].right(), size.w);
      EXPECT_LE(rects[i].bottom(), size.h);
      for (std::size_t j = i + 1; j < rects.size(); ++j) EXPECT_FALSE(overlap(rects[i], rects[j])) << i << " and " << j;
    }
  });
}

TEST(Layout, LargeTextKeepsFigureDirectionAndRibbon) {
  with_large_text([](Size, Stage stage, const Layout& at) {
    EXPECT_GE(at.text_px, 13.0F);
    if (stage == Stage::flutter) {
      EXPECT_GE(at.flutter.h, 120.0F);
      EXPECT_GE(at.causes.h, 3.4F * at.text_px);
      EXPECT_GE(at.measure.h, 44.0F + 12.0F + at.text_px);
      return;
    }
    EXPECT_GE(at.figure.h, 60.0F);
    EXPECT_GE(at.hint.h, 40.0F);
    EXPECT_GE(stage == Stage::match ? at.alignment.h : at.ribbon.h, 44.0F);
    if (stage == Stage::demo) {
      EXPECT_GE(at.trimmer.h, 70.0F);
    }
  });
}

TEST(Layout, APhoneWithTextTwiceAsLargeScrollsToAllThatItShowsElse) {
  const Layout at = lay_out(195.0F, least_height(195.0F, Stage::signal), Stage::signal);
  EXPECT_FALSE(at.quality.empty());
  EXPECT_FALSE(at.spectrum.empty());
  EXPECT_GT(2.2F * at.figure_px, 0.85F * 195.0F) << "the figure fills the width";
}

TEST(Layout, TheFrequencyCanBeReadFromAfar) {
  EXPECT_GE(lay_out(390.0F, 730.0F, Stage::signal).reading_px, 28.0F);
  EXPECT_GE(lay_out(980.0F, 690.0F, Stage::signal).reading_px, 28.0F);
}

}  // namespace
}  // namespace four76
