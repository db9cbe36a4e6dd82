// Sounds that lie on no scale of semitones: nothing says a speed.
#pragma once

#include <random>
#include <vector>

namespace four76::scenes {

// Kicks and snares: each a sine that falls in pitch, or noise, that dies away.
std::vector<float> drums(double seconds, double rate_hz, std::mt19937_64& random);
// Four voices with harmonics that glide up and down by one to two octaves without a rest.
std::vector<float> glides(double seconds, double rate_hz, std::mt19937_64& random);

}  // namespace four76::scenes
