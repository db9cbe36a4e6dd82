#include "tests/scenes/figures.hpp"

#include <cstdio>

namespace four76::scenes {

namespace {

double percent(long part, long whole) {
  return whole > 0 ? 100.0 * static_cast<double>(part) / static_cast<double>(whole) : 0.0;
}

std::string counted(long part, long whole) { return std::to_string(part) + " of " + std::to_string(whole); }

Figure at_least(std::string name, long part, long whole, double limit) {
  return {std::move(name), percent(part, whole), true, limit, whole > 0, counted(part, whole)};
}

Figure at_most(std::string name, long part, long whole, double limit) {
  return {std::move(name), percent(part, whole), false, limit, true, counted(part, whole)};
}

Figure stated(Figure figure) {
  figure.limited = false;
  return figure;
}

Figure median_u95(std::string name, const std::vector<Row>& rows, const std::string& of_class, double limit) {
  for (const Row& row : rows)
    if (row.name == of_class)
      return {std::move(name),
              median(row.score.u95_percent),
              false,
              limit,
              true,
              std::to_string(row.score.u95_percent.size()) + " scenes"};
  return stated({std::move(name), 0.0, false, limit, false, "no scenes"});
}

}  // namespace

std::vector<Row> rows_by_class(const std::vector<Played>& all) {
  std::vector<Row> rows;
  Row sum{"all", {}};
  for (const Played& played : all) {
    if (rows.empty() || rows.back().name != played.group) rows.push_back({played.group, {}});
    for (const Outcome& outcome : played.outcomes) {
      rows.back().score.add(outcome.score);
      sum.score.add(outcome.score);
    }
  }
  rows.push_back(sum);
  return rows;
}

// The limits are what is promised.
std::vector<Figure> figures_of(const std::vector<Played>& all) {
  const std::vector<Row> rows = rows_by_class(all);
  const Score& s = rows.back().score;
  return {at_least("true mean inside u95, % of measured", s.inside, s.measured, 97.0),
          {"silent wrongs", static_cast<double>(s.silent_wrong), false, 0.0, true, counted(s.silent_wrong, s.measured)},
          at_most("plain scenes withheld, %", s.wrongly_withheld, s.plain, 2.0),
          median_u95("median u95, clean 10 s, %", rows, "clean 10 s", 0.005),
          median_u95("median u95, 0.2 % wow 10 s, %", rows, "wow 0.2 %", 0.03),
          at_least("right reason named, %", s.named, s.nameable, 95.0),
          at_least("right reason first, %", s.named_first, s.nameable, 95.0),
          at_most("dial's measured rows off, %", s.dial_off, s.dial_rows, 0.3),
          stated(at_most("  off from the speeds set, %", s.dial_off_set, s.dial_rows, 0.3)),
          stated(at_most("  off from the mean with wow, %", s.dial_off_true, s.dial_rows, 0.3)),
          stated(at_most("  off where no tone is on the tape, %", s.dial_off_nothing, s.dial_rows, 0.3)),
          stated(at_most("measured though nothing is there", s.wrongly_measured, s.channels, 0.0)),
          stated(at_least("right reason told in any trouble, %", s.told, s.troubled, 95.0))};
}

std::string line_of(const Figure& f) {
  char line[200];
  char limit[32] = "";
  if (f.limited) std::snprintf(limit, sizeof limit, "%s %g", f.at_least ? ">=" : "<=", f.limit);
  const char* verdict = !f.limited ? "" : f.holds() ? "ok" : "NOT";
  std::snprintf(line, sizeof line, "%-38s %10.4f   %-9s %-4s (%s)", f.name.c_str(), f.value, limit, verdict,
                f.of.c_str());
  return line;
}

}  // namespace four76::scenes
