// The picture of the posterior: well formed, within its frame, and with each kind of evidence by its name.
#include "core/tapes/posterior_picture.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "tests/bench/svg_faults.hpp"

namespace four76 {
namespace {

constexpr std::string_view kPitch = "Concert pitch", kWhistle = "A television&#39;s whistle", kHum = "Mains hum";
constexpr std::string_view kTogether = ">Together<";

Evidence of_kind(EvidenceKind kind) {
  switch (kind) {
    case EvidenceKind::concert_pitch: return {.measured_hz = 443.0, .measured_u95_percent = 0.1};
    case EvidenceKind::line_scan:
      return {.kind = kind, .nominal_hz = 15625.0, .measured_hz = 15730.0, .measured_u95_percent = 0.003};
    case EvidenceKind::mains_hum:
      return {.kind = kind, .nominal_hz = 50.0, .measured_hz = 50.3, .measured_u95_percent = 0.1};
  }
  return {};
}

TapeFindings tape(const std::vector<EvidenceKind>& kinds) {
  TapeFindings findings;
  for (const EvidenceKind kind : kinds) findings.evidence.push_back(of_kind(kind));
  return findings;
}

std::string drawn(const std::vector<TapeFindings>& tapes, const PosteriorPicture& picture = {},
                  const TuningPrior& prior = {}) {
  return picture_of(speed_from(tapes, prior, picture.tolerance_percent), tapes, prior, picture);
}

void expect_sound(const std::string& svg) {
  EXPECT_EQ(bench::fault_in(svg + '\n'), "");
  EXPECT_EQ(bench::place_outside(svg), "");
  EXPECT_EQ(svg.find("nan"), std::string::npos);
  EXPECT_EQ(svg.find("inf"), std::string::npos);
  EXPECT_EQ(svg.find("-0.0"), std::string::npos);
}

bool says(const std::string& svg, std::string_view words) { return svg.find(words) != std::string::npos; }

// The heights of a curve's points, from its path.
std::vector<double> heights_of(const std::string& svg, const std::string& style) {
  std::vector<double> heights;
  const std::size_t from = svg.find("<path class=\"" + style + "\" d=\"");
  if (from == std::string::npos) return heights;
  const std::string path = svg.substr(from, svg.find("/>", from) - from);
  for (std::size_t at = path.find('L'); at != std::string::npos; at = path.find('L', at + 1))
    heights.push_back(std::stod(path.substr(path.find(' ', at) + 1)));
  return heights;
}

TEST(PosteriorPicture, NamesEachKindThatIsThereAndNoOther) {
  const auto pitch = drawn({tape({EvidenceKind::concert_pitch})});
  expect_sound(pitch);
  EXPECT_TRUE(says(pitch, kPitch) && says(pitch, kTogether));
  EXPECT_FALSE(says(pitch, kWhistle) || says(pitch, kHum));
  const auto all =
      drawn({tape({EvidenceKind::concert_pitch, EvidenceKind::line_scan}), tape({EvidenceKind::mains_hum})});
  expect_sound(all);
  for (const std::string_view name : {kPitch, kWhistle, kHum, kTogether}) EXPECT_TRUE(says(all, name)) << name;
  for (const char* style : {"pitch", "line", "hum", "posterior"})
    EXPECT_GT(heights_of(all, style).size(), 400u) << style;  // 3201 points of the grid, eight to one of the curve
}

TEST(PosteriorPicture, DrawsNothingButTheAxisWhereNothingSaysTheSpeed) {
  for (const auto& svg : {drawn({}), drawn({tape({})})}) {
    expect_sound(svg);
    for (const std::string_view name : {kPitch, kWhistle, kHum, kTogether}) EXPECT_FALSE(says(svg, name)) << name;
    for (const char* label : {">\u22128<", ">\u22124<", ">0<", ">+4<", ">+8 %<"})
      EXPECT_TRUE(says(svg, label)) << label;
  }
  const auto unknown = drawn({tape({EvidenceKind::concert_pitch})}, {}, {.concert_a_hz = {}});
  expect_sound(unknown);
  EXPECT_FALSE(says(unknown, kTogether));
}

// A line is narrower than what a point of the curve stands for.
TEST(PosteriorPicture, LosesNoLineBetweenItsPoints) {
  for (const double percent : {0.0, 0.013, 0.02, 1.111, -7.987}) {
    TapeFindings findings;
    findings.evidence.push_back({.kind = EvidenceKind::line_scan,
                                 .nominal_hz = 15625.0,
                                 .measured_hz = 15625.0 * (1.0 + percent / 100.0),
                                 .measured_u95_percent = 0.001});
    const auto heights = heights_of(drawn({findings}), "posterior");
    ASSERT_FALSE(heights.empty()) << percent;
    EXPECT_LT(*std::ranges::min_element(heights), 40.0) << percent;  // up to 6 under the names
  }
}

TEST(PosteriorPicture, StaysInItsFrameInAnySize) {
  const auto findings = tape({EvidenceKind::concert_pitch, EvidenceKind::line_scan, EvidenceKind::mains_hum});
  for (const auto& [width, height] : {std::pair{320.0, 240.0}, {640.0, 360.0}, {1600.0, 900.0}})
    for (const double tolerance : {0.01, 0.5, 20.0})
      expect_sound(drawn({findings}, {.width = width, .height = height, .tolerance_percent = tolerance}));
  EXPECT_TRUE(says(drawn({findings}), R"(viewBox="0 0 640.0 360.0")"));
}

TEST(PosteriorPicture, ShowsTheToleranceToScale) {
  // 16 % take 640 less two sides of 22: 0.5 % to both sides are 37.25 wide (derived).
  EXPECT_TRUE(says(drawn({}), R"(<rect class="tolerance" x="301.4" y="26.0" width="37.)"));
}

TEST(PosteriorPicture, IsReadAloud) {
  EXPECT_TRUE(says(drawn({}), R"(role="img" aria-label="How likely each speed is")"));
}

}  // namespace
}  // namespace four76
