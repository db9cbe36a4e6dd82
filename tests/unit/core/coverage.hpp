// Coverage: whether a half-width that claims 95 of 100 holds the truth as often as that: neither less, nor always, as
// one does that is far too wide.
#pragma once

#include <gtest/gtest.h>

#include <cmath>

namespace four76::test {

// Independent trials: the share that held lies within three sigma of the binomial, about `stated` on both sides. Where
// every cell of a table is asked, one of 370 falls outside by chance; seeds are fixed.
inline testing::AssertionResult covers(double held, double trials, double stated = 0.95) {
  const double share = held / trials, sigma = std::sqrt(stated * (1.0 - stated) / trials);
  const char* fault = share < stated - 3.0 * sigma ? "too narrow" : "too wide";
  if (std::abs(share - stated) <= 3.0 * sigma) return testing::AssertionSuccess();
  return testing::AssertionFailure() << fault << ": held in " << held << " of " << trials << " for a stated "
                                     << 100.0 * stated << " %, sigma " << 100.0 * sigma << " %";
}

}  // namespace four76::test
