#include <algorithm>
#include <cmath>
#include <map>

#include "tests/bench/markdown_table.hpp"
#include "tests/bench/plot.hpp"
#include "tests/bench/song_proof.hpp"

namespace four76::bench {

namespace {

struct Row {
  int positives = 0, covered = 0, negatives = 0, false_matches = 0;
  std::vector<double> errors;
  std::vector<SongCase> cases;

  void add(const SongCase& one) {
    if (one.kind != "same") {
      ++negatives;
      false_matches += one.matched ? 1 : 0;
      return;
    }
    ++positives;
    if (!one.matched) return;
    cases.push_back(one);
    const double error = std::abs(one.error_percent);
    errors.push_back(error);
    covered += error <= one.u95_percent ? 1 : 0;
  }
};

std::string of(int part, int all) { return std::to_string(part) + " of " + std::to_string(all); }

std::vector<std::string> cells_of(const std::string& name, Row row) {
  std::ranges::sort(row.errors);
  const auto matched = static_cast<int>(row.errors.size());
  const bool none = row.errors.empty();
  return {name,
          of(matched, row.positives),
          none ? "-" : decimal(row.errors[row.errors.size() / 2], 6),
          none ? "-" : decimal(row.errors.back(), 6),
          none ? "-" : of(row.covered, matched),
          none ? "-" : decimal(rms_of_u95(row.cases), 2),
          row.negatives == 0 ? "-" : of(row.false_matches, row.negatives)};
}

// What must not match, by what it is.
std::string table_of_others(const std::vector<SongCase>& cases) {
  std::vector<std::string> kinds;
  std::map<std::string, Row> rows;
  for (const SongCase& one : cases) {
    if (one.kind == "same") continue;
    if (!rows.contains(one.kind)) kinds.push_back(one.kind);
    rows[one.kind].add(one);
  }
  if (kinds.empty()) return {};
  static const std::map<std::string, std::string> kWords{{"other", "another piece in the same manner"},
                                                         {"again", "the same piece by another player"},
                                                         {"missing", "a part that the reference lacks"},
                                                         {"noise", "noise"},
                                                         {"tone", "a tone"},
                                                         {"silence", "silence"}};
  MarkdownTable table({"what must not match", "false matches"});
  for (const std::string& kind : kinds)
    table.row({kWords.at(kind), of(rows[kind].false_matches, rows[kind].negatives)});
  return "\n" + table.text();
}

}  // namespace

double rms_of_u95(const std::vector<SongCase>& cases) {
  double squares = 0.0;
  int count = 0;
  for (const SongCase& one : cases) {
    if (one.kind != "same" || !one.matched) continue;
    squares += one.error_percent * one.error_percent / (one.u95_percent * one.u95_percent);
    ++count;
  }
  return count > 0 ? std::sqrt(squares / count) : 0.0;
}

std::string song_table(const std::vector<SongCase>& cases) {
  MarkdownTable table({"kind of piece", "matched", "median error, %", "worst error, %", "within its ±", "RMS error / ±",
                       "false matches"});
  Row all;
  for (int i = 0; i < scenes::kManners; ++i) {
    const auto manner = static_cast<scenes::Manner>(i);
    Row row;
    for (const SongCase& one : cases)
      if (one.manner == manner) row.add(one), all.add(one);
    std::string name(name_of(manner));
    std::ranges::replace(name, '_', ' ');
    if (row.positives > 0) table.row(cells_of(name, row));
  }
  table.row(cells_of("all", all));
  return table.text() + table_of_others(cases);
}

}  // namespace four76::bench
