#include "core/reading.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

std::string_view name_of(Status status) noexcept {
  switch (status) {
    case Status::no_tone: return "no_tone";
    case Status::unreliable: return "unreliable";
    case Status::measured: return "measured";
  }
  return "no_tone";
}

std::string_view name_of(Reason reason) noexcept {
  switch (reason) {
    case Reason::no_tone: return "no_tone";
    case Reason::too_quiet: return "too_quiet";
    case Reason::room_noise: return "room_noise";
    case Reason::competing_tone: return "competing_tone";
    case Reason::mains_hum: return "mains_hum";
    case Reason::clipping: return "clipping";
    case Reason::voice_processing: return "voice_processing";
    case Reason::capture_gap: return "capture_gap";
    case Reason::tape_dropout: return "tape_dropout";
    case Reason::narrow_capture: return "narrow_capture";
    case Reason::wrong_tone: return "wrong_tone";
    case Reason::channels_differ: return "channels_differ";
    case Reason::too_short: return "too_short";
    case Reason::not_steady: return "not_steady";
  }
  return "no_tone";
}

void ReasonList::add_first(Reason reason) noexcept {
  auto* const first = items_.data();
  auto* found = std::find(first, first + size_, reason);
  if (found == first + size_) ++size_;
  std::move_backward(first, found, found + 1);
  *first = reason;
}

bool ReasonList::operator==(const ReasonList& other) const noexcept {
  return std::equal(begin(), end(), other.begin(), other.end());
}

bool speeds_agree(double left, double left_u95, double right, double right_u95) noexcept {
  return std::abs(left - right) <= std::hypot(left_u95, right_u95) + kChannelsAgree_percent;
}

double cents_of_percent(double speed_error_percent) noexcept {
  return 1200.0 * std::log2(1.0 + speed_error_percent / 100.0);
}

}  // namespace four76
