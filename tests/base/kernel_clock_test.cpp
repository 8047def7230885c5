#include "halfarc/base/kernel_clock.h"

#include <gtest/gtest.h>
#include <sys/timex.h>

namespace halfarc {
namespace {

TEST(KernelClock, IsHeldWhenAServiceKeepsIt_AdjtimexManPage) {
  const KernelClock clock = kernel_clock_of(TIME_OK, STA_PLL | STA_NANO, 4'500, 300);
  EXPECT_TRUE(clock.held);
  EXPECT_DOUBLE_EQ(clock.most_error.s(), 0.0045);
  EXPECT_DOUBLE_EQ(clock.usual_error.s(), 0.0003);
  EXPECT_TRUE(kernel_clock_of(TIME_INS, STA_INS, 4'500, 300).held);  // a leap second is announced
}

TEST(KernelClock, IsNotHeldWhenTheKernelSaysSo_AdjtimexManPage) {
  EXPECT_FALSE(kernel_clock_of(TIME_ERROR, 0, 4'500, 300).held);
  EXPECT_FALSE(kernel_clock_of(TIME_OK, STA_UNSYNC, 4'500, 300).held);
  EXPECT_FALSE(kernel_clock_of(TIME_OK, 0, 16'000'000, 300).held);
}

TEST(KernelClock, OfThisMachineMakesSense) {
  if (const auto clock = read_kernel_clock(); clock && clock->held) {
    EXPECT_LT(clock->most_error.s(), 16.0);
    EXPECT_GE(clock->most_error.s(), 0.0);
  }
}

}  // namespace
}  // namespace halfarc
