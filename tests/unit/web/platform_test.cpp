// What browsers say of what they run on (user agents as their makers' documentation shows them, from memory).
#include "web/platform/platform.hpp"

#include <gtest/gtest.h>

#include "web/words/platform.hpp"

namespace four76 {
namespace {

TEST(Platform, IsToldByWhatTheBrowserStates) {
  EXPECT_EQ(platform_of("Android", "", 5), Platform::android);
  EXPECT_EQ(platform_of("Windows", "", 10), Platform::windows);
  EXPECT_EQ(platform_of("macOS", "", 0), Platform::macos);
  EXPECT_EQ(platform_of("Linux", "", 0), Platform::linux);
  EXPECT_EQ(platform_of("Chrome OS", "", 0), Platform::linux);
}

TEST(Platform, IsElseReadFromTheUserAgent) {
  EXPECT_EQ(platform_of("", "Mozilla/5.0 (Android 14; Mobile; rv:130.0) Gecko/130.0 Firefox/130.0", 5),
            Platform::android);
  EXPECT_EQ(platform_of("", "Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 Chrome/130.0 Mobile", 5),
            Platform::android);
  EXPECT_EQ(platform_of("", "Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X) AppleWebKit/605.1.15", 5),
            Platform::iphone_ipad);
  EXPECT_EQ(platform_of("", "Mozilla/5.0 (Windows NT 10.0; Win64; x64; rv:130.0) Gecko Firefox/130.0", 0),
            Platform::windows);
  EXPECT_EQ(platform_of("", "Mozilla/5.0 (X11; Linux x86_64; rv:128.0) Gecko/20100101 Firefox/128.0", 0),
            Platform::linux);
  EXPECT_EQ(platform_of("", "", 0), Platform::unknown);
}

TEST(Platform, AMacWithATouchScreenIsATablet) {
  constexpr const char* kAgent = "Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15 Version/17.5";
  EXPECT_EQ(platform_of("", kAgent, 0), Platform::macos);
  EXPECT_EQ(platform_of("", kAgent, 5), Platform::iphone_ipad);
}

TEST(Platform, EveryOneHasItsSteps) {
  for (const Platform platform : kPlatforms) {
    const words::PlatformSteps steps = words::voice_steps(platform);
    EXPECT_FALSE(steps.name.empty() || steps.brief.empty() || steps.steps.empty());
    EXPECT_LT(steps.brief.size(), 90u) << steps.name;  // the hint is small
  }
}

}  // namespace
}  // namespace four76
