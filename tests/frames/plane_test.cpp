#include "halfarc/frames/plane.h"

#include <gtest/gtest.h>

#include <cstdint>

namespace halfarc {
namespace {

static_assert(!std::is_copy_constructible_v<Plane<float>>);
static_assert(std::is_nothrow_move_constructible_v<Plane<float>>);
static_assert(!std::is_convertible_v<View<const float>, View<float>>);

TEST(Plane, BeginsZeroAndAligned) {
  const Plane<float> plane(5, 3);
  EXPECT_EQ(plane.count(), 15U);
  EXPECT_EQ(reinterpret_cast<std::uintptr_t>(plane.data()) % Plane<float>::kAlignment, 0U);
  for (const float v : plane.samples()) EXPECT_EQ(v, 0.0F);
}

TEST(Plane, RowsAreContiguous) {
  Plane<int> plane(4, 3);
  plane(3, 1) = 7;
  EXPECT_EQ(plane.samples()[7], 7);
  EXPECT_EQ(plane.row(1)[3], 7);
  const View<const int> part = View<const int>(plane).part(2, 1, 2, 2);
  EXPECT_EQ(part(1, 0), 7);
  EXPECT_EQ(part.stride(), 4);
  EXPECT_TRUE(part.contains(1, 1));
  EXPECT_FALSE(part.contains(2, 0));
}

TEST(Plane, MovesAndCopiesOnlyByName) {
  Plane<int> a(2, 2);
  a(1, 1) = 5;
  Plane<int> b = a.copy();
  b(0, 0) = 9;
  EXPECT_EQ(a(0, 0), 0);
  const Plane<int> c = std::move(a);
  EXPECT_EQ(c(1, 1), 5);
  b = Plane<int>();
  EXPECT_TRUE(b.empty());
}

}  // namespace
}  // namespace halfarc
