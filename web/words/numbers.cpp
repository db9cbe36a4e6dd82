#include "web/words/numbers.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "core/phrase.hpp"
#include "core/records/figure_text.hpp"

namespace four76::words {
namespace {

double power_of_ten(int exponent) {
  double power = 1.0;
  for (int i = 0; i < exponent; ++i) power *= 10.0;
  return power;
}

std::string setting(double value, std::string_view unit) {
  char text[64];
  std::snprintf(text, sizeof text, "%.10g ", value);
  return with_decimal_mark(text).append(unit);
}

double u95_hz(const Reading& reading) {
  return reading.frequency_hz.value_or(0.0) * reading.u95_percent.value_or(100.0) / 100.0;
}
double u95_cents(const Reading& reading) { return std::fabs(cents_of_percent(reading.u95_percent.value_or(100.0))); }

// Decimals of hertz and cents that go with so many of percent, so that they keep as steady as it does.
int hertz_decimals(const Reading& reading) { return supported_decimals(u95_hz(reading), 2); }
int cents_decimals(int percent_decimals) { return std::clamp(percent_decimals - 2, 0, 1); }

}  // namespace

int supported_decimals(double u95, int most) noexcept {
  if (!(u95 >= 0.0)) return 0;
  // Rounded up, the uncertainty may fill the last digit but not the one before it. The margin forgives 0.09 its bits.
  for (int decimals = most; decimals > 0; --decimals)
    if (u95 * power_of_ten(decimals) <= 9.0 + 1e-9) return decimals;
  return 0;
}

std::string fixed(double value, int decimals) { return fixed_text(value, decimals); }
std::string signed_fixed(double value, int decimals) { return signed_fixed_text(value, decimals); }
std::string plus_minus(double u95, int decimals) { return plus_minus_text(u95, decimals); }
std::string percent(double value) { return setting(value, "%"); }
std::string hertz(double value) { return setting(value, "Hz"); }
std::string tone_heard(double hz) { return fixed(hz, 1) + " Hz"; }
std::string kilohertz(double hz) { return fixed(hz / 1000.0, std::fmod(hz, 1000.0) == 0.0 ? 0 : 1) + " kHz"; }

std::optional<Figure> figure(const Reading& reading, Unit unit, int percent_decimals) {
  if (!reading.speed_error_percent) return std::nullopt;
  if (!reading.frequency_hz && unit == Unit::hertz) unit = Unit::percent;  // a song has no frequency
  switch (unit) {
    case Unit::percent: return Figure{signed_fixed(*reading.speed_error_percent, percent_decimals), "%"};
    case Unit::cents:
      return Figure{signed_fixed(cents_of_percent(*reading.speed_error_percent), cents_decimals(percent_decimals)),
                    say("cents")};
    case Unit::hertz: return Figure{fixed(*reading.frequency_hz, std::min(1, hertz_decimals(reading))), "Hz"};
  }
  return std::nullopt;
}

std::string frequency(const Reading& reading) {
  if (!reading.frequency_hz) return "";
  return fixed(*reading.frequency_hz, hertz_decimals(reading)) + " Hz";
}

std::string cents(const Reading& reading) {
  if (!reading.speed_error_percent) return "";
  const int decimals = supported_decimals(u95_cents(reading), 1);
  return say("{0} cents", signed_fixed(cents_of_percent(*reading.speed_error_percent), decimals));
}

std::string speed_error(const Reading& reading) {
  if (!reading.speed_error_percent) return "";
  const int decimals = supported_decimals(reading.u95_percent.value_or(100.0), 3);
  return signed_fixed(*reading.speed_error_percent, decimals) + " %";
}

std::string uncertainty(const Reading& reading, Unit unit) {
  if (!reading.u95_percent) return "";
  if (!reading.frequency_hz && unit == Unit::hertz) unit = Unit::percent;
  switch (unit) {
    case Unit::percent: return plus_minus(*reading.u95_percent, supported_decimals(*reading.u95_percent, 3)) + " %";
    case Unit::cents:
      return say("{0} cents", plus_minus(u95_cents(reading), supported_decimals(u95_cents(reading), 1)));
    case Unit::hertz: return plus_minus(u95_hz(reading), hertz_decimals(reading)) + " Hz";
  }
  return "";
}

std::string clock_text(double seconds) {
  const auto whole = static_cast<int>(std::max(0.0, std::floor(seconds)));
  char text[32];
  if (whole >= 3600) {
    std::snprintf(text, sizeof text, "%d:%02d:%02d", whole / 3600, whole / 60 % 60, whole % 60);
  } else {
    std::snprintf(text, sizeof text, "%d:%02d", whole / 60, whole % 60);
  }
  return text;
}

}  // namespace four76::words
