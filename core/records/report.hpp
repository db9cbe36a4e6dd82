// Report: one page about one machine: as found, as left, how sure that is, under what conditions and against what; as
// plain data in words, and the two pictures as SVG. The page lays it out and prints it; nothing in it needs colour.
//
// Rows are label and text. Texts are plain, as the person typed them: whoever puts them into HTML escapes them, with
// escaped_text or by setting them as text.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/bench/since_last.hpp"
#include "core/bench/visit.hpp"
#include "core/records/card.hpp"

namespace four76 {

struct ReportRow {
  std::string label, text;
};
struct ReportReading {
  std::string heading;  // "As left, 2026-11-26 10:45, at the middle of the tape"
  std::string verdict;  // "Within 0.5 %"
  std::vector<ReportRow> rows;
  std::string ribbon_svg, spectrum_svg;  // empty where nothing was kept to draw
};
// Of those rows the ones that tell the speed: of both channels together, of each, and how far they are apart.
[[nodiscard]] std::vector<ReportRow> speed_rows(const Measurement& visit);
// One visit by itself, as it stands in the report.
[[nodiscard]] ReportReading report_reading(const Measurement& visit, bool pictures = true);
// "1.20 % fast, known to ± 0.02 %"; what tapes told, where it holds that; empty where no speed was measured.
[[nodiscard]] std::string speed_text(const Measurement& visit);
// "Since it was left 6 days ago it has come back by 0.80 %: ..."; empty where there is nothing to compare.
[[nodiscard]] std::string since_text(const SinceLast& since);

// That of all visits of a machine, in the order of their time, and what tapes told last beside what was measured.
[[nodiscard]] std::string comparison_text(std::span<const Measurement> visits);

struct Report {
  std::string title;  // the machine's name
  std::vector<ReportRow> machine;
  std::vector<ReportReading> readings;  // as found first, then as left, then by tapes
  std::vector<ReportRow> conditions;    // tolerance and its source, version, who made it: for the foot of the page
  std::string caution;                  // core/records/safety_text
  std::string summary;                  // "From 1.20 % slow to 0.04 % fast."
};

struct ReportSettings {
  std::string version;           // of the program
  std::string tolerance_source;  // "usual service adjustment, common practice"
  std::string made_by;           // a name; may be empty: then a line is left for it
};
// Reports the newest day on which the machine was measured as left; where there is none, as found. Of that day it shows
// the readings as found and as left, not those in between; what tapes told last stands behind them. A machine without
// readings is shown alone.
[[nodiscard]] Report make_report(const Card& card, const ReportSettings& settings);

// The speed's course with the tolerance as the tape's edges; the spectrum with the tone marked.
[[nodiscard]] std::string ribbon_svg(const Measurement& measurement);
[[nodiscard]] std::string spectrum_svg(const Measurement& measurement);

}  // namespace four76
