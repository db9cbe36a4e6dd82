// TapeOrMachine: several tapes on several machines: which of them is off?
//
//   reading(tape i, machine j) = t_i + m_j + error
//
// t is how far the tape's tone is off what is stated, m how far the machine is off its speed, both in percent (for
// small errors they add; the product, 0.01 % for 1 % each, is left out). Solved by least squares, each reading weighing
// by 1 / u^2. One constant is free in every group of tapes and machines that readings connect: with t + c and m - c the
// readings stay the same. What a trusted tape or machine is stated to be is one more reading, of t or m alone, and ties
// its group down. Without one, only differences within the group can be told, and the tapes' mean is set to 0.
//
// Three faults are told: a group that hangs on nothing, groups that do not meet, and a reading that does not fit the
// rest: one whose residual is beyond 3 of its own standard deviations and beyond those of all others; it is left out
// and the rest solved again, as long as every tape and machine keeps its connection (common practice).
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace four76 {

inline constexpr std::size_t kMostInTable = 24;  // tapes, and machines

struct TableReading {
  std::size_t tape = 0, machine = 0;
  double percent = 0.0;
  double u95_percent = 0.1;  // above 0
};
struct TableTruth {
  bool of_tape = true;
  std::size_t which = 0;
  double percent = 0.0;      // how far it is off
  double u95_percent = 0.1;  // above 0
};

struct Solved {
  double percent = 0.0;
  std::optional<double> u95_percent;  // nothing where its group hangs on nothing: only differences can be told
  std::size_t group = 0;              // those of one group are connected by readings
};
struct TableSolution {
  std::vector<Solved> tapes, machines;
  std::size_t groups = 0;
  std::vector<bool> tied;                 // of each group: whether something trusted is in it
  std::vector<double> residuals_percent;  // of each reading, those left out too
  std::vector<std::size_t> left_out;      // readings that do not fit
  std::optional<double> misfit;           // reduced chi-square; about 1 where the uncertainties are right
  bool enough = false;                    // whether there was anything to check by: more readings than unknowns

  std::vector<std::vector<double>> covariance;  // of the unknowns: tapes, then machines, percent squared
};

// Nothing where the table is empty, larger than kMostInTable, or holds a number or a place that cannot be.
[[nodiscard]] std::optional<TableSolution> solve_table(std::size_t tapes, std::size_t machines,
                                                       std::span<const TableReading> readings,
                                                       std::span<const TableTruth> truths);
// By how much one machine is faster than another, or one tape's tone higher, and how far that may be off (95 %);
// nothing where no readings connect them.
struct TableDifference {
  double percent = 0.0, u95_percent = 0.0;
};
[[nodiscard]] std::optional<TableDifference> difference_of_tapes(const TableSolution& solution, std::size_t a,
                                                                 std::size_t b);
[[nodiscard]] std::optional<TableDifference> difference_of_machines(const TableSolution& solution, std::size_t a,
                                                                    std::size_t b);

}  // namespace four76
