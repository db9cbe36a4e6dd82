#include "core/bench/tape_or_machine.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace four76 {
namespace {

constexpr double kOf95 = 1.96;
constexpr double kOutlierSigmas = 3.0;
constexpr double kLoose_percent = 1e3;  // how little the mean of an untied group is held: 0 +- 1000 %
using Matrix = std::vector<std::vector<double>>;

// One line of the least squares: the sum of two unknowns (or one alone) is what was read.
struct Row {
  std::size_t first = 0;
  std::optional<std::size_t> second;
  double percent = 0.0, sigma = 1.0;
};

bool sound(double percent, double u95) noexcept {
  return std::isfinite(percent) && std::isfinite(u95) && u95 > 0.0 && std::abs(percent) <= 100.0;
}

// Which unknowns the rows connect: the least of each group stands for it.
std::vector<std::size_t> groups_of(std::size_t unknowns, std::span<const Row> rows) {
  std::vector<std::size_t> group(unknowns);
  std::iota(group.begin(), group.end(), std::size_t{0});
  for (std::size_t pass = 0; pass < unknowns; ++pass)
    for (const Row& row : rows) {
      if (!row.second) continue;
      const std::size_t least = std::min(group[row.first], group[*row.second]);
      group[row.first] = group[*row.second] = least;
    }
  return group;
}

// By Gauss and Jordan with the largest pivot; nothing where it has no inverse.
std::optional<Matrix> inverse(Matrix a) {
  const std::size_t n = a.size();
  Matrix out(n, std::vector<double>(n, 0.0));
  for (std::size_t i = 0; i < n; ++i) out[i][i] = 1.0;
  for (std::size_t column = 0; column < n; ++column) {
    std::size_t pivot = column;
    for (std::size_t row = column; row < n; ++row)
      if (std::abs(a[row][column]) > std::abs(a[pivot][column])) pivot = row;
    if (!(std::abs(a[pivot][column]) > 1e-12)) return std::nullopt;
    std::swap(a[pivot], a[column]);
    std::swap(out[pivot], out[column]);
    const double scale = 1.0 / a[column][column];
    for (std::size_t k = 0; k < n; ++k) a[column][k] *= scale, out[column][k] *= scale;
    for (std::size_t row = 0; row < n; ++row) {
      const double factor = a[row][column];
      if (row == column || factor == 0.0) continue;
      for (std::size_t k = 0; k < n; ++k) a[row][k] -= factor * a[column][k], out[row][k] -= factor * out[column][k];
    }
  }
  return out;
}

struct Fit {
  std::vector<double> x;
  Matrix covariance;
};

// `tapes` unknowns come first; an untied group's tapes are held to a mean of 0, so that there is one solution.
std::optional<Fit> fit(std::size_t unknowns, std::size_t tapes, std::span<const Row> rows,
                       const std::vector<std::size_t>& group, const std::vector<bool>& tied) {
  Matrix normal(unknowns, std::vector<double>(unknowns, 0.0));
  std::vector<double> right(unknowns, 0.0);
  for (const Row& row : rows) {
    const double weight = 1.0 / (row.sigma * row.sigma);
    const std::size_t a = row.first, b = row.second.value_or(a);
    normal[a][a] += weight;
    right[a] += weight * row.percent;
    if (!row.second) continue;
    normal[b][b] += weight;
    normal[a][b] += weight;
    normal[b][a] += weight;
    right[b] += weight * row.percent;
  }
  for (std::size_t a = 0; a < tapes; ++a)
    for (std::size_t b = 0; b < tapes; ++b)
      if (group[a] == group[b] && !tied[group[a]]) normal[a][b] += 1.0 / (kLoose_percent * kLoose_percent);
  for (std::size_t a = tapes; a < unknowns; ++a)  // a machine that nothing was played on
    if (normal[a][a] == 0.0) normal[a][a] = 1.0 / (kLoose_percent * kLoose_percent);
  auto covariance = inverse(std::move(normal));
  if (!covariance) return std::nullopt;
  Fit found{std::vector<double>(unknowns, 0.0), std::move(*covariance)};
  for (std::size_t a = 0; a < unknowns; ++a)
    for (std::size_t b = 0; b < unknowns; ++b) found.x[a] += found.covariance[a][b] * right[b];
  return found;
}

double residual(const Fit& fit, const Row& row) noexcept {
  return row.percent - fit.x[row.first] - (row.second ? fit.x[*row.second] : 0.0);
}

// Of the residual: what the reading scatters by, less what the fit has taken of it.
double residual_sigma(const Fit& fit, const Row& row) noexcept {
  const Matrix& c = fit.covariance;
  const std::size_t a = row.first, b = row.second.value_or(a);
  const double taken = row.second ? c[a][a] + c[b][b] + 2.0 * c[a][b] : c[a][a];
  return std::sqrt(std::max(row.sigma * row.sigma - taken, 0.0));
}

// Solving, leaving out, solving again.
class Table {
 public:
  Table(std::size_t tapes, std::size_t machines, std::span<const TableReading> readings,
        std::span<const TableTruth> truths)
      : tapes_(tapes), unknowns_(tapes + machines), readings_(readings.size()), out_(readings.size() + truths.size()) {
    for (const TableReading& each : readings)
      all_.push_back({each.tape, tapes + each.machine, each.percent, each.u95_percent / kOf95});
    for (const TableTruth& each : truths)
      all_.push_back(
          {each.of_tape ? each.which : tapes + each.which, std::nullopt, each.percent, each.u95_percent / kOf95});
  }
  std::optional<TableSolution> solve() {
    if (!fit_again()) return std::nullopt;
    while (const auto worst = worst_that_can_go()) {
      out_[*worst] = true;
      if (!fit_again()) return std::nullopt;
    }
    return solution();
  }

 private:
  [[nodiscard]] std::vector<Row> kept() const {
    std::vector<Row> rows;
    for (std::size_t i = 0; i < all_.size(); ++i)
      if (!out_[i]) rows.push_back(all_[i]);
    return rows;
  }
  bool fit_again() {
    const auto rows = kept();
    group_ = groups_of(unknowns_, rows);
    tied_.assign(unknowns_, false);
    for (const Row& row : rows)
      if (!row.second) tied_[group_[row.first]] = true;
    fit_ = fit(unknowns_, tapes_, rows, group_, tied_);
    return fit_.has_value();
  }
  // The reading farthest from the rest, where it is too far, and the table holds together without it.
  std::optional<std::size_t> worst_that_can_go() {
    std::optional<std::size_t> worst;
    double most = kOutlierSigmas;
    for (std::size_t i = 0; i < readings_; ++i) {
      const double sigma = residual_sigma(*fit_, all_[i]);
      if (out_[i] || !(sigma > 0.05 * all_[i].sigma)) continue;  // nothing checks it
      const double sigmas = std::abs(residual(*fit_, all_[i])) / sigma;
      if (sigmas > most) worst = i, most = sigmas;
    }
    if (!worst || freedom() < 2) return std::nullopt;
    out_[*worst] = true;
    const bool holds = groups_of(unknowns_, kept()) == group_;
    out_[*worst] = false;
    return holds ? worst : std::nullopt;
  }
  [[nodiscard]] std::size_t group_count() const {
    std::size_t count = 0;
    for (std::size_t i = 0; i < unknowns_; ++i) count += group_[i] == i ? 1 : 0;
    return count;
  }
  [[nodiscard]] long freedom() const {
    long untied = 0;
    for (std::size_t i = 0; i < unknowns_; ++i) untied += group_[i] == i && !tied_[i] ? 1 : 0;
    return static_cast<long>(kept().size()) - static_cast<long>(unknowns_) + untied;
  }

  [[nodiscard]] TableSolution solution() const {
    TableSolution solved;
    std::vector<std::size_t> number(unknowns_, 0);
    for (std::size_t i = 0; i < unknowns_; ++i) {
      if (group_[i] != i) continue;
      number[i] = solved.groups++;
      solved.tied.push_back(tied_[i]);
    }
    for (std::size_t i = 0; i < unknowns_; ++i) {
      Solved each{fit_->x[i], std::nullopt, number[group_[i]]};
      if (tied_[group_[i]]) each.u95_percent = kOf95 * std::sqrt(std::max(fit_->covariance[i][i], 0.0));
      (i < tapes_ ? solved.tapes : solved.machines).push_back(each);
    }
    double chi_square = 0.0;
    for (std::size_t i = 0; i < all_.size(); ++i) {
      const double left = residual(*fit_, all_[i]);
      if (i < readings_) solved.residuals_percent.push_back(left);
      if (i < readings_ && out_[i]) solved.left_out.push_back(i);
      if (!out_[i]) chi_square += left * left / (all_[i].sigma * all_[i].sigma);
    }
    solved.enough = freedom() > 0;
    if (solved.enough) solved.misfit = chi_square / static_cast<double>(freedom());
    solved.covariance = fit_->covariance;
    return solved;
  }

  std::size_t tapes_, unknowns_, readings_;
  std::vector<Row> all_;
  std::vector<bool> out_;
  std::vector<std::size_t> group_;
  std::vector<bool> tied_;
  std::optional<Fit> fit_;
};

std::optional<TableDifference> difference(const TableSolution& solution, const Solved& a, const Solved& b,
                                          std::size_t at_a, std::size_t at_b) {
  if (a.group != b.group) return std::nullopt;
  const Matrix& c = solution.covariance;
  const double square = c[at_a][at_a] + c[at_b][at_b] - 2.0 * c[at_a][at_b];
  return TableDifference{a.percent - b.percent, kOf95 * std::sqrt(std::max(square, 0.0))};
}

}  // namespace

std::optional<TableSolution> solve_table(std::size_t tapes, std::size_t machines,
                                         std::span<const TableReading> readings, std::span<const TableTruth> truths) {
  if (tapes == 0 || machines == 0 || tapes > kMostInTable || machines > kMostInTable || readings.empty())
    return std::nullopt;
  for (const TableReading& each : readings)
    if (each.tape >= tapes || each.machine >= machines || !sound(each.percent, each.u95_percent)) return std::nullopt;
  for (const TableTruth& each : truths)
    if (each.which >= (each.of_tape ? tapes : machines) || !sound(each.percent, each.u95_percent)) return std::nullopt;
  return Table(tapes, machines, readings, truths).solve();
}

std::optional<TableDifference> difference_of_tapes(const TableSolution& solution, std::size_t a, std::size_t b) {
  if (a >= solution.tapes.size() || b >= solution.tapes.size()) return std::nullopt;
  return difference(solution, solution.tapes[a], solution.tapes[b], a, b);
}

std::optional<TableDifference> difference_of_machines(const TableSolution& solution, std::size_t a, std::size_t b) {
  const std::size_t tapes = solution.tapes.size();
  if (a >= solution.machines.size() || b >= solution.machines.size()) return std::nullopt;
  return difference(solution, solution.machines[a], solution.machines[b], tapes + a, tapes + b);
}

}  // namespace four76
