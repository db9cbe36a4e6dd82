#include "core/bench/typed_reading.hpp"

#include <cmath>

#include "core/phrase.hpp"
#include "core/records/percent_text.hpp"

namespace four76 {
namespace {

constexpr double kFarthest_percent = 25.0;  // as the tone search
constexpr double kLongest_s = 86400.0;

Result<Reading, TypedFault> judged(double speed, double u95, double nominal_hz) noexcept {
  const double percent = 100.0 * (speed - 1.0);
  if (!std::isfinite(percent) || !std::isfinite(u95)) return TypedFault::not_a_number;
  if (std::abs(percent) > kFarthest_percent || 100.0 * u95 > kFarthest_percent) return TypedFault::out_of_range;
  Reading reading;
  reading.status = Status::measured;
  reading.frequency_hz = nominal_hz * speed;
  reading.speed_error_percent = reading.plain_speed_error_percent = percent;
  reading.u95_percent = reading.noise_u95_percent = 100.0 * u95;
  return reading;
}

}  // namespace

std::string_view message_of(TypedFault fault) noexcept {
  switch (fault) {
    case TypedFault::not_a_number: return tr("Type a plain number, such as 3012.5.");
    case TypedFault::out_of_range: return tr("That is more than 25 % off: check tone and unit.");
    case TypedFault::no_resolution: return tr("Say what the meter's last digit stands for, such as 1 or 0.1 Hz.");
    case TypedFault::too_short: return tr("Time 30 seconds or more: the hand is too slow for less.");
  }
  return tr("Type it again.");
}

Result<Reading, TypedFault> reading_of(const MeterShown& shown, double nominal_hz) noexcept {
  if (!(std::isfinite(shown.frequency_hz) && shown.frequency_hz > 0.0 && nominal_hz > 0.0))
    return TypedFault::not_a_number;
  if (!(shown.resolution_hz > 0.0 && shown.resolution_hz <= 0.5 * shown.frequency_hz)) return TypedFault::no_resolution;
  if (!(shown.accuracy_percent >= 0.0)) return TypedFault::not_a_number;
  const double u95_hz = 0.5 * shown.resolution_hz + shown.accuracy_percent / 100.0 * shown.frequency_hz;
  return judged(shown.frequency_hz / nominal_hz, u95_hz / nominal_hz, nominal_hz);
}

std::optional<double> resolution_of(std::string_view typed) noexcept {
  if (!parse_decimal(typed)) return std::nullopt;
  const auto point = typed.find('.');
  const std::size_t decimals = point == std::string_view::npos ? 0 : typed.size() - point - 1;
  return std::pow(10.0, -static_cast<double>(decimals));
}

Result<Reading, TypedFault> reading_of(const Timed& timed, double nominal_hz) noexcept {
  const bool numbers = std::isfinite(timed.should_take_s) && std::isfinite(timed.took_s) &&
                       timed.should_take_u95_s >= 0.0 && timed.hand_u95_s >= 0.0;
  if (!numbers) return TypedFault::not_a_number;
  if (timed.took_s < kShortestTiming_s || timed.should_take_s < kShortestTiming_s) return TypedFault::too_short;
  if (timed.took_s > kLongest_s || timed.should_take_s > kLongest_s) return TypedFault::out_of_range;
  const double speed = timed.should_take_s / timed.took_s;
  const double hand = std::sqrt(2.0) * timed.hand_u95_s / timed.took_s;
  const double length = timed.should_take_u95_s / timed.should_take_s;
  auto reading = judged(speed, speed * std::hypot(hand, length), nominal_hz);
  if (reading) reading->trusted_s = timed.took_s;
  return reading;
}

}  // namespace four76
