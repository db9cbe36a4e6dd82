#include "tests/endurance/faults.hpp"

#include <array>

namespace four76::test {
namespace {

using enum browser::Interruption;

constexpr std::array kFaults = {
    Fault{.name = "samples lost", .sound = Sound::losses, .lasts_s = 3.0},
    Fault{.name = "runs of zeros", .sound = Sound::zero_runs, .lasts_s = 3.0},
    Fault{.name = "no numbers", .sound = Sound::not_numbers, .lasts_s = 2.0},
    Fault{.name = "zeros", .sound = Sound::zeros, .lasts_s = 6.0},
    Fault{.name = "overdriven", .sound = Sound::overdriven, .lasts_s = 4.0},
    Fault{.name = "tape ends", .sound = Sound::hiss, .lasts_s = 20.0},
    Fault{.name = "muted", .sound = Sound::zeros, .says = "muted the microphone", .begins = muted, .ends = unmuted},
    Fault{.name = "context suspended",
          .sound = Sound::nothing,
          .lasts_s = 30.0,
          .says = "paused the sound",
          .begins = suspended,
          .ends = resumed},
    Fault{.name = "samples stop", .sound = Sound::nothing, .lasts_s = 8.0, .says = "No sound arrives"},
    Fault{.name = "page hidden",
          .lasts_s = 60.0,
          .says = "in the background",
          .begins = hidden,
          .ends = visible,
          .draws = false},
    Fault{.name = "page hidden, sound stopped",
          .sound = Sound::nothing,
          .lasts_s = 60.0,
          .says = "in the background",
          .begins = hidden,
          .ends = visible,
          .draws = false},
    Fault{.name = "clock back an hour", .lasts_s = 1.0, .clock_jump_s = -3600.0},
    Fault{.name = "clock ahead eight hours", .lasts_s = 1.0, .clock_jump_s = 8.0 * 3600.0},
    Fault{.name = "storage full", .says = "no room left", .happening = Happening::storage_full},
    Fault{.name = "WebGL lost", .says = "drawing", .happening = Happening::drawing_lost},
    Fault{.name = "an update comes", .says = "newer version", .happening = Happening::update_comes},
    Fault{.name = "page dies", .sound = Sound::nothing, .lasts_s = 3.0, .happening = Happening::page_dies},
    Fault{
        .name = "device gone", .sound = Sound::nothing, .says = "when it is back", .happening = Happening::device_ends},
    Fault{.name = "device chosen anew", .lasts_s = 1.0, .happening = Happening::device_chosen},
    Fault{.name = "headset", .sound = Sound::nothing, .says = "not Bluetooth", .happening = Happening::headset},
};

}  // namespace

std::span<const Fault> all_faults() noexcept { return kFaults; }

}  // namespace four76::test
