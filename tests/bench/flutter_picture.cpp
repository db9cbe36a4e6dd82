#include <algorithm>

#include "tests/bench/flutter_tables.hpp"
#include "tests/bench/plot.hpp"

namespace four76::bench {

namespace {

constexpr double kTolerance_db = 2.0;  // of most of the curve; more at its ends (IEC 60386:1972, from memory)

void draw_weighting(SvgWriter& svg, const FlutterTables& tables) {
  Plot plot(svg, {80.0, 104.0, 430.0, 340.0},
            {.label = "rate of the wow or flutter, Hz",
             .from = 0.08,
             .to = 250.0,
             .ticks = {0.1, 0.3, 1.0, 4.0, 10.0, 30.0, 100.0, 200.0},
             .logarithmic = true},
            {.label = "weighting, dB", .from = -55.0, .to = 5.0, .ticks = {-50.0, -40.0, -30.0, -20.0, -10.0, 0.0}});
  Points upper, lower, read;
  for (const auto& [rate_hz, table_db, read_db] : tables.weighting) {
    upper.emplace_back(rate_hz, table_db + kTolerance_db);
    lower.emplace_back(rate_hz, table_db - kTolerance_db);
    read.emplace_back(rate_hz, read_db);
  }
  plot.area(upper, lower);
  plot.curve(read, "thin own");
  for (const auto& [rate_hz, db] : read) plot.mark(Mark::circle, rate_hz, db, "own");
}

void draw_pulses(SvgWriter& svg, const FlutterTables& tables) {
  Plot plot(svg, {600.0, 104.0, 270.0, 340.0},
            {.label = "length of the pulse, ms",
             .from = 7.0,
             .to = 140.0,
             .ticks = {10.0, 30.0, 60.0, 100.0},
             .logarithmic = true},
            {.label = "quasi-peak, % of a 4 Hz sine",
             .from = 0.0,
             .to = 120.0,
             .ticks = {0.0, 20.0, 40.0, 60.0, 80.0, 100.0, 120.0}});
  for (const PulseRow& row : tables.pulses) {
    const double pulse_ms = row.pulse_ms, table = row.table_percent, tolerance = row.tolerance_percent;
    constexpr double kWide = 1.12;
    plot.area({{pulse_ms / kWide, table + tolerance}, {pulse_ms * kWide, table + tolerance}},
              {{pulse_ms / kWide, table - tolerance}, {pulse_ms * kWide, table - tolerance}});
    plot.mark(Mark::circle, pulse_ms, row.read_percent, "own");
  }
}

}  // namespace

std::string flutter_picture(const FlutterTables& tables) {
  SvgWriter svg = picture(900.0, 510.0, "Wow and flutter against the standard's tables",
                          "Marks: what Four76 reads. Grey: the table (from memory) with its tolerance: ± 2 dB to the "
                          "left, each pulse's own to the right.",
                          "The weighting curve from 0.1 to 200 hertz, and the quasi-peak reading of a tone's pulses "
                          "of 10 to 100 milliseconds, against the tables of IEC 60386.");
  draw_weighting(svg, tables);
  draw_pulses(svg, tables);
  return svg.finish();
}

}  // namespace four76::bench
