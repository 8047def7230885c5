#include "halfarc/restore/window.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

TEST(FastSize, IsEvenAndSmooth) {
  EXPECT_EQ(fast_size(1), 2);
  EXPECT_EQ(fast_size(176), 180);
  EXPECT_EQ(fast_size(180), 180);
  EXPECT_EQ(fast_size(257), 270);
  EXPECT_EQ(fast_size(640), 640);
  EXPECT_EQ(fast_size(641), 648);
}

TEST(WindowAround, SmallDiscInABigFrame) {
  const Window w = window_around(900, 500, 990, 590, 40, 1936, 1096);
  EXPECT_EQ(w.x % 2, 0);
  EXPECT_EQ(w.y % 2, 0);
  EXPECT_EQ(w.width, fast_size(171));
  EXPECT_LE(w.x, 860);
  EXPECT_GE(w.x + w.width, 1030);
}

TEST(WindowAround, StaysInsideTheFrame) {
  const Window w = window_around(1890, 2, 1935, 47, 30, 1936, 1096);
  EXPECT_GE(w.y, 0);
  EXPECT_LE(w.x + w.width, 1936);
  EXPECT_EQ(w.x % 2, 0);
}

TEST(WindowAround, TakesTheWholeAxisWhenTheBoxIsLarge) {
  const Window w = window_around(10, 10, 170, 60, 10, 177, 176);
  EXPECT_EQ(w.x, 0);
  EXPECT_EQ(w.width, 176);  // even part of 177
  EXPECT_LT(w.height, 176);
}

}  // namespace
}  // namespace halfarc
