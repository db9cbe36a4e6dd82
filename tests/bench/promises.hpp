// Promises: what a benchmark holds its figures to. Each is printed, stands on the proof page, and decides the exit
// status. A figure that is not there (NaN) keeps no promise.
#pragma once

#include <algorithm>
#include <cstdio>
#include <string>
#include <utility>
#include <vector>

#include "tests/bench/markdown_table.hpp"
#include "tests/bench/plot.hpp"

namespace four76::bench {

struct Promise {
  std::string what, limit, found;
  bool kept = false;
};
using Promises = std::vector<Promise>;

// How a figure is written: decimals, and what stands behind it ("%", " s").
struct Written {
  int places = 2;
  std::string unit;
  [[nodiscard]] std::string operator()(double value) const { return decimal(value, places) + unit; }
};

inline Promise at_most(std::string what, double found, double limit, const Written& as = {}) {
  return {std::move(what), "at most " + as(limit), as(found), found <= limit};
}
inline Promise at_least(std::string what, double found, double limit, const Written& as = {}) {
  return {std::move(what), "at least " + as(limit), as(found), found >= limit};
}
inline Promise between(std::string what, double found, double low, double high, const Written& as = {}) {
  return {std::move(what), as(low) + " to " + as(high), as(found), found >= low && found <= high};
}
// All of several figures, the least and the most of them shown; none at all keep nothing.
inline Promise all_between(std::string what, const std::vector<double>& found, double low, double high,
                           const Written& as = {}) {
  const auto within = [&](double value) { return value >= low && value <= high; };
  const bool none = found.empty();
  std::string range = "none";
  if (!none) {
    const std::string least = as(std::ranges::min(found)), most = as(std::ranges::max(found));
    range = least == most ? least : least + " to " + most;
  }
  return {std::move(what), as(low) + " to " + as(high), range, !none && std::ranges::all_of(found, within)};
}

// A list without a single promise keeps none.
inline bool all_kept(const Promises& promises) {
  return !promises.empty() && std::ranges::all_of(promises, &Promise::kept);
}

inline std::string table_of(const Promises& promises) {
  MarkdownTable table({"promise", "limit", "found", "kept"});
  for (const auto& [what, limit, found, kept] : promises)
    table.row({what, limit, found, limit == "-" ? "-" : kept ? "yes" : "**no**"});
  return table.text();
}

// What is told without a promise.
inline Promise stated(std::string what, std::string found) { return {std::move(what), "-", std::move(found), true}; }

// Prints them; the status that a program ends with.
inline int judge(const Promises& promises) {
  std::printf("\n%s", table_of(promises).c_str());
  return all_kept(promises) ? 0 : 1;
}

}  // namespace four76::bench
