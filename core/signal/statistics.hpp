// Statistics: small pure functions on numbers.
#pragma once

#include <span>

namespace four76 {

// The middle value (the lower of the two middle ones for an even count). Reorders the values; there is at least one.
double median_of(std::span<double> values) noexcept;
float median_of(std::span<float> values) noexcept;

// Two-sided 95 % quantile of Student's t with that many degrees of freedom (at least 1); 1.960 for very many.
// Hill's expansion (G. W. Hill, Algorithm 396, 1970) as a series about the normal quantile, with the exact values for 1
// to 3 degrees and straight lines between them; within 0.5 % for whole degrees.
double student_t95(double degrees_of_freedom) noexcept;

// 95 % point of chi-square over its degrees of freedom, by Wilson and Hilferty (1931).
double chi_square_ratio_95(double degrees_of_freedom) noexcept;

// |wrapped| <= 0.5 cycles
double wrap_cycles(double cycles) noexcept;

double db_of_power(double power_ratio) noexcept;  // 10 log10; the ratio is above 0
double db_of_amplitude(double ratio) noexcept;    // 20 log10; the ratio is above 0

}  // namespace four76
