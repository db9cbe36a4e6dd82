#include "core/signal/statistics.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace four76 {

namespace {
template <typename T>
T lower_median(std::span<T> values) noexcept {
  assert(!values.empty() && "a median needs at least one value");
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>((values.size() - 1) / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}
}  // namespace

double median_of(std::span<double> values) noexcept { return lower_median(values); }
float median_of(std::span<float> values) noexcept { return lower_median(values); }

double student_t95(double degrees_of_freedom) noexcept {
  constexpr double z = 1.959964;
  const double n = std::max(1.0, degrees_of_freedom);
  if (n < 2.0) return 12.706 + (4.303 - 12.706) * (n - 1.0);
  if (n < 3.0) return 4.303 + (3.182 - 4.303) * (n - 2.0);
  if (n < 4.0) return 3.182 + (2.776 - 3.182) * (n - 3.0);
  const double z3 = z * z * z;
  const double z5 = z3 * z * z;
  const double z7 = z5 * z * z;
  return z + (z3 + z) / (4.0 * n) + (5.0 * z5 + 16.0 * z3 + 3.0 * z) / (96.0 * n * n) +
         (3.0 * z7 + 19.0 * z5 + 17.0 * z3 - 15.0 * z) / (384.0 * n * n * n);
}

double chi_square_ratio_95(double degrees_of_freedom) noexcept {
  constexpr double z = 1.644854;
  const double a = 2.0 / (9.0 * degrees_of_freedom);
  const double cube_root = 1.0 - a + z * std::sqrt(a);
  return cube_root * cube_root * cube_root;
}

double wrap_cycles(double cycles) noexcept { return cycles - std::nearbyint(cycles); }

double db_of_power(double power_ratio) noexcept { return 10.0 * std::log10(power_ratio); }
double db_of_amplitude(double ratio) noexcept { return 20.0 * std::log10(ratio); }

}  // namespace four76
