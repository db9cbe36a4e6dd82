// Wander: how much of one part of a shape chance may have made, told by its other parts.
//
// A rate that wanders bends a sine's phase at every order, the less the higher the order is; noise bends them all
// alike. Each part is Gaussian of variance n^2 + (g r)^2: n the noise's, r what is expected of wander at its order, g
// its strength, which is not known. With a flat prior on log g, the parts at hand tell how likely each g is (Bayes),
// and so what the part in question would be by chance:
//
//   chance(|x| > u) = sum over g of p(g | parts) erfc(u / sqrt(2 (n^2 + g^2)))
//
// Averaged over the strengths that occur the probability is right. Where it says once in twenty times, one strength
// alone exceeds it once in nine to a hundred times (tested).
//
// r of order k is (2 / k)^2: the parts of a random walk of the rate fall so, those of a random walk of the phase more
// slowly (derived: the k-th part of an m-fold integral of white noise falls about as k^-m).
#pragma once

#include <span>

namespace four76 {

struct WanderPart {
  double value = 0.0;
  double noise_sigma = 0.0;  // above 0
  double share = 1.0;        // r
};

// What a part of noise_sigma and r = 1 exceeds by chance once in twenty times.
double wander_u95(std::span<const WanderPart> others, double noise_sigma) noexcept;

}  // namespace four76
