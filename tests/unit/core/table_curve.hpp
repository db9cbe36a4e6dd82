// The standard's weighting as a curve through its table, for oracles: no poles, no zeros, nothing of the core.
#pragma once

#include <cmath>
#include <vector>

#include "tests/unit/core/flutter_signals.hpp"

namespace four76::test {

// Natural cubic spline through the table, decibels over the logarithm of the rate.
class TableCurve {
 public:
  TableCurve() {
    const std::size_t n = kWeightingTable.size();
    std::vector<double> diagonal(n, 1.0);
    std::vector<double> right(n, 0.0);
    bend_.assign(n, 0.0);
    for (const auto& [hz, db] : kWeightingTable) {
      x_.push_back(std::log(hz));
      y_.push_back(db);
    }
    std::vector<double> upper(n, 0.0);
    for (std::size_t i = 1; i + 1 < n; ++i) {
      const double a = (x_[i] - x_[i - 1]) / 6.0;
      const double c = (x_[i + 1] - x_[i]) / 6.0;
      const double slope = (y_[i + 1] - y_[i]) / (x_[i + 1] - x_[i]) - (y_[i] - y_[i - 1]) / (x_[i] - x_[i - 1]);
      const double pivot = 2.0 * (a + c) - a * upper[i - 1];
      upper[i] = c / pivot;
      right[i] = (slope - a * right[i - 1]) / pivot;
    }
    for (std::size_t i = n - 1; i-- > 1;) bend_[i] = right[i] - upper[i] * bend_[i + 1];
  }
  double operator()(double hz) const {
    if (hz < 0.02 || hz > 200.0) return 0.0;
    const double x = std::log(hz);
    // Below the table it falls on as at its end.
    if (x < x_[0]) return std::pow(10.0, (y_[0] + (x - x_[0]) * (y_[1] - y_[0]) / (x_[1] - x_[0])) / 20.0);
    std::size_t i = 1;
    while (i + 1 < x_.size() && x > x_[i]) ++i;
    const double h = x_[i] - x_[i - 1];
    const double a = (x_[i] - x) / h;
    const double b = (x - x_[i - 1]) / h;
    const double db =
        a * y_[i - 1] + b * y_[i] + ((a * a * a - a) * bend_[i - 1] + (b * b * b - b) * bend_[i]) * h * h / 6.0;
    return std::pow(10.0, db / 20.0);
  }

 private:
  std::vector<double> x_, y_, bend_;
};

}  // namespace four76::test
