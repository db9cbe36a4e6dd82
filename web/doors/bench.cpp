#include "web/doors/bench.hpp"

#include <algorithm>
#include <optional>
#include <utility>
#include <vector>

#include "core/bench/tape_or_machine.hpp"
#include "core/bench/test_tape.hpp"
#include "core/bench/typed_reading.hpp"
#include "core/phrase.hpp"
#include "core/records/card.hpp"
#include "core/records/coach_text.hpp"
#include "core/records/figure_text.hpp"
#include "core/records/kept_lines.hpp"
#include "core/records/link.hpp"
#include "core/records/report.hpp"
#include "core/tone/nominal_tones.hpp"
#include "web/doors/json.hpp"
#include "web/words/numbers.hpp"

namespace four76 {
namespace {

// The parts between the marks; as many as wanted at most, empty ones where there are fewer.
template <std::size_t Count>
std::array<std::string_view, Count> parted(std::string_view text, char mark) {
  std::array<std::string_view, Count> parts{};
  for (std::size_t i = 0; i < Count; ++i) {
    const auto end = i + 1 < Count ? text.find(mark) : std::string_view::npos;
    parts[i] = text.substr(0, end);
    text = end == std::string_view::npos ? std::string_view{} : text.substr(end + 1);
  }
  return parts;
}

// ---- What a meter or a watch said -----------------------------------------------------------------------------------

bool is_within(std::optional<double> value, double least, double most) {
  return value && *value >= least && *value <= most;
}

// Of settings that the page can have.
std::optional<Measurement> bare_visit(std::string_view settings, std::string_view stage, VisitSource source) {
  const auto [tone, tolerance, tape] = parted<3>(settings, ';');
  const auto nominal_hz = parse_number(tone), tolerance_percent = parse_number(tolerance);
  const auto tape_percent = parse_number(tape);
  if (!is_within(nominal_hz, kLowestNominalHz, kHighestNominalHz) ||
      !is_within(tolerance_percent, kSmallestTolerance_percent, kLargestTolerance_percent) ||
      (tape_percent && !is_within(tape_percent, 0.0, kLargestTapeTolerance_percent)))
    return std::nullopt;
  Measurement visit;
  visit.source = source;
  visit.nominal_hz = *nominal_hz;
  visit.tolerance_percent = *tolerance_percent;
  visit.clock_u95_ppm = 0.0;  // the meter's own accuracy is in the reading
  if (source == VisitSource::meter) visit.tape_u95_percent = tape_percent;
  for (const VisitStage each : {VisitStage::as_found, VisitStage::as_left})
    if (name_of(each) == stage) visit.stage = each;
  return visit;
}

// "Within 0.5 %. Speed: 0.40 % fast, known to ± 0.01 %."
std::string typed_text(const Measurement& visit, const std::string& verdict) {
  std::string said = verdict + ". ", mark;
  for (const ReportRow& row : speed_rows(visit)) {
    said.append(mark).append(row.label).append(": ").append(row.text);
    mark = "; ";
  }
  return said + '.';
}

std::string visit_told(const Measurement& visit) {
  JsonWriter json;
  json.open('{').key("fault").value("");
  json.key("visit").raw(write_visit(visit));
  json.key("said").value(typed_text(visit, report_reading(visit, false).verdict)).close('}');
  return json.take();
}

std::string meter(std::string_view typed, std::string_view accuracy, std::string_view settings,
                  std::string_view stage) {
  auto visit = bare_visit(settings, stage, VisitSource::meter);
  const auto accuracy_percent = parse_number(accuracy);
  if (!visit || !accuracy_percent) return fault_json(message_of(TypedFault::not_a_number));
  const auto sides = parted<2>(typed, ';');
  const bool both = !sides[0].empty() && !sides[1].empty();
  for (std::size_t i = 0; i < sides.size(); ++i) {
    if (sides[i].empty()) continue;
    const auto shown = parse_number(sides[i]);
    const auto resolution = resolution_of(sides[i]);
    if (!shown || !resolution) return fault_json(message_of(TypedFault::not_a_number));
    const auto reading = reading_of(MeterShown{*shown, *resolution, *accuracy_percent}, visit->nominal_hz);
    if (!reading) return fault_json(message_of(reading.fault()));
    visit->channels.push_back(measured_channel(!both ? "mono" : i == 0 ? "left" : "right", *reading, {}, {}));
  }
  if (visit->channels.empty()) return fault_json(message_of(TypedFault::not_a_number));
  visit->device = tr("a meter");
  return visit_told(*visit);
}

std::string timing(std::string_view should, std::string_view took, std::string_view settings, std::string_view stage) {
  auto visit = bare_visit(settings, stage, VisitSource::timing);
  const auto should_take_s = parse_number(should), took_s = parse_number(took);
  if (!visit || !should_take_s || !took_s) return fault_json(message_of(TypedFault::not_a_number));
  auto reading = reading_of(Timed{*should_take_s, *took_s}, visit->nominal_hz);
  if (!reading) return fault_json(message_of(reading.fault()));
  reading->frequency_hz.reset();  // nothing was heard
  visit->seconds = *took_s;
  visit->channels.push_back(measured_channel("mono", *reading, {}, {}));
  visit->device = tr("a watch");
  return visit_told(*visit);
}

// ---- Tape or machine? -----------------------------------------------------------------------------------------------

struct Line {
  std::array<std::string_view, 2> words;
  double percent = 0.0, u95_percent = 0.0;
};

std::optional<std::vector<Line>> lines_of(std::string_view text) {
  std::vector<Line> lines;
  while (!text.empty()) {
    const auto end = std::min(text.find('\n'), text.size());
    const auto parts = parted<4>(text.substr(0, end), ';');
    const auto percent = parse_number(parts[2]), u95 = parse_number(parts[3]);
    if (!percent || !u95 || !(*u95 > 0.0)) return std::nullopt;
    lines.push_back({{parts[0], parts[1]}, *percent, *u95});
    text = text.substr(std::min(end + 1, text.size()));
  }
  return lines;
}

std::optional<std::size_t> place_of(std::string_view text) {
  const auto number = parse_number(text);
  if (!number || !(*number >= 0.0 && *number < static_cast<double>(kMostInTable))) return std::nullopt;
  return static_cast<std::size_t>(*number);
}

struct Table {
  std::size_t tapes = 0, machines = 0;
  std::vector<TableReading> readings;
  std::vector<TableTruth> truths;
};

std::optional<Table> table_of(std::string_view readings, std::string_view truths) {
  const auto read = lines_of(readings), known = lines_of(truths);
  if (!read || !known) return std::nullopt;
  Table table;
  for (const Line& line : *read) {
    const auto tape = place_of(line.words[0]), machine = place_of(line.words[1]);
    if (!tape || !machine) return std::nullopt;
    table.tapes = std::max(table.tapes, *tape + 1);
    table.machines = std::max(table.machines, *machine + 1);
    table.readings.push_back({*tape, *machine, line.percent, line.u95_percent});
  }
  for (const Line& line : *known) {
    const auto which = place_of(line.words[1]);
    if (!which) return std::nullopt;
    table.truths.push_back({line.words[0] == "tape", *which, line.percent, line.u95_percent});
  }
  return table;
}

std::string solved_text(const Solved& solved) {
  std::string text = signed_percent_text(solved.percent);
  if (solved.u95_percent) text += " \u00b1 " + rounded(*solved.u95_percent, 2) + " %";
  return text;
}

std::vector<std::string_view> sentences(const TableSolution& solution) {
  std::vector<std::string_view> said;
  const bool tied = std::all_of(solution.tied.begin(), solution.tied.end(), [](bool each) { return each; });
  if (!tied)
    said.push_back(
        tr("Nothing here is known to be right, so only differences can be told: the tapes together are taken as right. "
           "One tape with a certificate, or one machine that is known to be right, settles it."));
  if (solution.groups > 1)
    said.push_back(
        tr("Some are not linked by a common tape: play one tape on machines of both groups to compare them."));
  if (!solution.left_out.empty())
    said.push_back(tr("A reading does not fit the others and was left out: measure it again."));
  if (!solution.enough)
    said.push_back(
        tr("There is nothing to check these by yet: one more reading would show whether they fit together."));
  else if (solution.misfit && *solution.misfit > 4.0)
    said.push_back(tr("They fit together worse than their uncertainties allow: something moved between the readings."));
  return said;
}

std::string table(std::string_view readings, std::string_view truths) {
  const auto made = table_of(readings, truths);
  if (!made) return fault_json(tr("Type percent as plain numbers, such as 1.05; the \u00b1 must be above 0."));
  const auto solution = solve_table(made->tapes, made->machines, made->readings, made->truths);
  if (!solution) return fault_json(tr("Enter at least one reading; at most 24 tapes and machines."));
  JsonWriter json;
  json.open('{').key("fault").value("").key("tapes").open('[');
  for (const Solved& each : solution->tapes) json.value(solved_text(each));
  json.close(']').key("machines").open('[');
  for (const Solved& each : solution->machines) json.value(solved_text(each));
  json.close(']').key("said").open('[');
  for (const std::string_view each : sentences(*solution)) json.value(each);
  json.close(']').key("left_out").open('[');
  for (const std::size_t each : solution->left_out) json.value(std::optional(static_cast<double>(each)));
  json.close(']').close('}');
  return json.take();
}

// ---- What an own tape carries ---------------------------------------------------------------------------------------

std::optional<Reading> reading_typed(std::string_view text) {
  const auto [percent, u95] = parted<2>(text, ';');
  Reading reading;
  reading.speed_error_percent = parse_number(percent);
  reading.u95_percent = parse_number(u95);
  if (!reading.speed_error_percent || !reading.u95_percent) return std::nullopt;
  reading.status = Status::measured;
  return reading;
}

std::string certificate(std::string_view own, std::string_view trusted, std::string_view again,
                        std::string_view terms) {
  const auto own_reading = reading_typed(own), before = reading_typed(trusted);
  const auto [nominal, tape] = parted<2>(terms, ';');
  const auto nominal_hz = parse_number(nominal), trusted_u95 = parse_number(tape);
  if (!own_reading || !before || !nominal_hz) return fault_json(message_of(CertifyFault::not_measured));
  if (!trusted_u95)
    return fault_json(tr("Say how far the trusted tape's tone may be off: its label or certificate does."));
  const auto made = certify({*own_reading, *before, reading_typed(again)}, *nominal_hz, *trusted_u95);
  if (!made) return fault_json(message_of(made.fault()));
  JsonWriter json;
  json.open('{').key("fault").value("");
  json.key("true_hz").value(std::optional(made->true_hz)).key("u95_percent").value(std::optional(made->u95_percent));
  json.key("said").value(say("This tape carries {0}, known to {1}.", words::fixed(made->true_hz, 2) + " Hz",
                             "\u00b1 " + rounded(made->u95_percent, 2) + " %"));
  json.close('}');
  return json.take();
}

}  // namespace

std::string ask_bench(std::string_view what, const std::array<std::string_view, 4>& texts) {
  if (what == "bench-meter") return meter(texts[0], texts[1], texts[2], texts[3]);
  if (what == "bench-timing") return timing(texts[0], texts[1], texts[2], texts[3]);
  if (what == "bench-table") return table(texts[0], texts[1]);
  if (what == "bench-certify") return certificate(texts[0], texts[1], texts[2], texts[3]);
  return fault_json(tr("This page does not know that question."));
}

}  // namespace four76
