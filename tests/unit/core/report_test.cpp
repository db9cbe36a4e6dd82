#include "core/records/report.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "core/records/safety_text.hpp"
#include "core/records/svg.hpp"
#include "core/records/tapes_text.hpp"

namespace four76 {
namespace {

Measurement visit(VisitStage stage, const char* time, double percent) {
  Measurement measurement;
  measurement.stage = stage;
  measurement.time = time;
  measurement.seconds = 30.0;
  measurement.nominal_hz = 3150.0;
  MeasuredChannel channel;
  channel.status = Status::measured;
  channel.speed_error_percent = percent;
  channel.u95_percent = 0.03;
  channel.weighted_two_sigma_percent = 0.11;
  channel.components = {{7.6, 0.08}};
  measurement.channels = {channel};
  measurement.course_step_s = 0.125;
  for (int i = 0; i < 240; ++i)
    measurement.course_percent.push_back(i == 100 ? std::nullopt : std::optional(percent + 0.1 * std::sin(0.3 * i)));
  measurement.spectrum_bin_hz = 40.0;
  measurement.spectrum_dbfs.assign(250, -80.0);
  measurement.spectrum_dbfs[79] = -12.0;
  return measurement;
}

Card card() {
  Card card;
  card.name = "Kitchen <recorder> & \"co\"";
  card.kind = "portable";
  card.visits = {
      visit(VisitStage::as_found, "2026-10-01 09:00", 0.5), visit(VisitStage::as_found, "2026-11-26 09:00", -1.2),
      visit(VisitStage::between, "2026-11-26 09:30", -0.6), visit(VisitStage::as_left, "2026-11-26 10:00", 0.04)};
  return card;
}

std::size_t count_of(const std::string& text, std::string_view what) {
  std::size_t count = 0;
  for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++count;
  return count;
}

TEST(Report, TellsAsFoundAndAsLeftOfTheNewestDay) {
  const Report report = make_report(card(), {"0.1.0", "usual service adjustment, common practice", ""});
  EXPECT_EQ(report.summary, "From 1.2 % slow to 0.04 % fast.");
  ASSERT_EQ(report.readings.size(), 2u);
  EXPECT_EQ(report.readings[0].heading, "As found, 2026-11-26 09:00");
  EXPECT_EQ(report.readings[0].verdict, "Outside 0.5 %");
  EXPECT_EQ(report.readings[1].verdict, "Within 0.5 %");
  EXPECT_FALSE(report.readings[1].ribbon_svg.empty());
  EXPECT_FALSE(report.readings[1].spectrum_svg.empty());
  EXPECT_EQ(report.conditions.back().text, "____________________");
  const auto& rows = report.readings[0].rows;
  EXPECT_TRUE(std::any_of(rows.begin(), rows.end(), [](const ReportRow& row) {
    return row.label == "Its clock" && row.text.find("not checked") != std::string::npos;
  }));
}

TEST(Report, CarriesTheCautions) {
  EXPECT_EQ(make_report(card(), {}).caution, safety_text());
  EXPECT_EQ(make_report(Card(), {}).caution, safety_text());
}

TEST(Report, GivesTheSpeedByItself) {
  const Measurement one = visit(VisitStage::as_left, "", -1.2);
  EXPECT_EQ(speed_text(one), "1.20 % slow, known to \u00b1 0.030 %");
  EXPECT_EQ(speed_text(Measurement{}), "");
  ASSERT_EQ(speed_rows(one).size(), 1u);
  EXPECT_EQ(speed_rows(one)[0].text, speed_text(one));
  Measurement two = one;
  two.channels[0].channel = "left";
  two.channels.push_back(two.channels[0]);
  two.channels[1].channel = "right";
  two.channels[1].speed_error_percent = 2.0;
  std::string labels;
  for (const ReportRow& row : speed_rows(two)) labels += row.label + '|';
  EXPECT_EQ(labels, "Speed|Speed error (left)|Speed error (right)|Channels differ|");
  EXPECT_TRUE(speed_rows(Measurement{}).empty());
}

TEST(Report, OfAMachineThatWasNeverMeasuredSaysSo) {
  Card bare;
  const Report report = make_report(bare, {});
  EXPECT_TRUE(report.readings.empty());
  EXPECT_EQ(report.summary, "No speed was measured.");
  EXPECT_EQ(report.title, "A machine without a name");
}

Measurement by_tapes(int tapes, double percent, double u95_percent) {
  Measurement told;
  told.time = "2026-11-27 09:10";
  told.source = VisitSource::tapes;
  told.seconds = 240.0;
  told.by_tapes = TapesEvidence{tapes, percent, u95_percent, 440.0, false, false, SoundsLike::right};
  return told;
}

TEST(Report, TellsWhatTapesToldAsEvidenceOfItsOwnKind) {
  Card with = card();
  with.visits.push_back(by_tapes(6, 0.32, 0.41));
  const Report report = make_report(with, {});
  EXPECT_EQ(
      report.summary,
      "From 1.2 % slow to 0.04 % fast. By 6 tapes: +0.32 \u00b10.41 % (as most music is tuned). What was measured "
      "last agrees with it.");
  ASSERT_EQ(report.readings.size(), 3u);
  EXPECT_EQ(report.readings[1].heading, "As left, 2026-11-26 10:00");
  const ReportReading& told = report.readings[2];
  EXPECT_EQ(told.heading, "Only tapes, 2026-11-27 09:10");
  EXPECT_EQ(told.verdict, "Not measured");
  EXPECT_TRUE(told.ribbon_svg.empty());
  std::string labels;
  for (const ReportRow& row : told.rows) labels += row.label + '|';
  EXPECT_EQ(labels, "Speed|How it sounds|Over|");
  EXPECT_EQ(told.rows[1].text, "About right");

  Card alone;
  alone.visits = {by_tapes(1, -3.0, 0.71)};
  EXPECT_EQ(make_report(alone, {}).summary,
            "No speed was measured. By one tape: \u22123.00 \u00b10.71 % (as most music is tuned).");
}

TEST(TapesText, ShowsNoMoreDigitsThanAreKnown) {
  TapesEvidence evidence{6, 1.2, 4.0, std::nullopt, false, false, SoundsLike::not_said};
  EXPECT_EQ(tapes_text(evidence), "By 6 tapes: +1.2 \u00b14.0 %");
  evidence.u95_percent = 0.398;
  evidence.concert_a_hz = 415.0;
  evidence.line_scan = evidence.mains_hum = true;
  EXPECT_EQ(tapes_text(evidence),
            "By 6 tapes: +1.20 \u00b10.40 % (tuned to A = 415 Hz, a television's whistle, mains hum on the tape)");
}

TEST(TapesText, StandsBesideWhatWasMeasuredAndIsNotMixedWithIt) {
  std::vector<Measurement> visits = card().visits;
  EXPECT_EQ(newest_tapes_text(visits), "");
  const std::string measured = comparison_text(visits);
  const SinceLast since = compare_visits(visits);
  visits.push_back(by_tapes(1, 9.0, 0.1));
  visits.push_back(by_tapes(8, 1.2, 0.4));
  EXPECT_EQ(compare_visits(visits).verdict, since.verdict);
  EXPECT_NE(newest_tapes_text(visits).find("By 8 tapes"), std::string::npos) << "the newest";
  EXPECT_NE(newest_tapes_text(visits).find("does not agree"), std::string::npos);
  EXPECT_TRUE(comparison_text(visits).starts_with(measured));
}

TEST(Report, ItsRibbonHasTheTolerancesEdgesAndLeavesGapsOpen) {
  const std::string svg = ribbon_svg(visit(VisitStage::as_left, "", 0.1));
  EXPECT_EQ(count_of(svg, "stroke-width=\"1.6\""), 2u);  // before and after the gap
  EXPECT_EQ(count_of(svg, "stroke-dasharray"), 2u);
  EXPECT_EQ(count_of(svg, "<svg"), count_of(svg, "</svg>"));
  EXPECT_EQ(svg.find("nan"), std::string::npos);
  Measurement bare;
  EXPECT_TRUE(ribbon_svg(bare).empty());
  EXPECT_TRUE(spectrum_svg(bare).empty());
}

TEST(Report, ItsPicturesAreBlackAndWhite) {
  const Measurement measurement = visit(VisitStage::as_left, "", 0.1);
  for (const std::string& svg : {ribbon_svg(measurement), spectrum_svg(measurement)})
    for (auto at = svg.find("\"#"); at != std::string::npos; at = svg.find("\"#", at + 1)) {
      const std::string colour = svg.substr(at + 1, svg.find('"', at + 1) - at - 1);
      EXPECT_TRUE(colour == "#000" || colour == "#999" || colour == "#eee") << colour;
    }
}

TEST(Svg, EscapesAllThatIsGiven) {
  EXPECT_EQ(escaped_text("<a href='x'>&\"\x01"), "&lt;a href=&#39;x&#39;&gt;&amp;&quot;");
  Svg svg(10.0, 10.0, "<script>");
  svg.text({std::nan(""), 1e300}, "</svg><script>");
  const std::string text = svg.finish();
  EXPECT_EQ(text.find("<script"), std::string::npos);
  EXPECT_EQ(count_of(text, "</svg>"), 1u);
  EXPECT_EQ(text.find("nan"), std::string::npos);
}

}  // namespace
}  // namespace four76
