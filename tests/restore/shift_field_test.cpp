#include "halfarc/restore/shift_field.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

ShiftField plane_field() {
  ShiftField field{10, Plane<float>(4, 3), Plane<float>(4, 3)};
  for (int y = 0; y < 3; ++y) {
    for (int x = 0; x < 4; ++x) {
      field.x(x, y) = static_cast<float>(0.5 + 0.2 * x - 0.1 * y);
      field.y(x, y) = static_cast<float>(-0.3 * x + 0.4 * y);
    }
  }
  return field;
}

TEST(ShiftField, IsLinearBetweenItsNodes) {
  const ShiftField field = plane_field();
  for (const PixelPoint p : {PixelPoint{0.0, 0.0}, {7.0, 3.0}, {15.0, 12.5}, {30.0, 20.0}}) {
    const PixelOffset shift = shift_at(field, p);
    EXPECT_NEAR(shift.x, 0.5 + 0.02 * p.x - 0.01 * p.y, 1e-6);
    EXPECT_NEAR(shift.y, -0.03 * p.x + 0.04 * p.y, 1e-6);
  }
}

TEST(ShiftField, StaysAsItIsBeyondItsNodes) {
  const ShiftField field = plane_field();
  EXPECT_EQ(shift_at(field, {-20.0, 5.0}), shift_at(field, {0.0, 5.0}));
  EXPECT_EQ(shift_at(field, {90.0, 70.0}), shift_at(field, {30.0, 20.0}));
}

TEST(ShiftField, OneNodeIsTheSameEverywhere) {
  ShiftField field{10, Plane<float>(1, 1), Plane<float>(1, 1)};
  field.x(0, 0) = 0.25F;
  EXPECT_EQ(shift_at(field, {33.0, 8.0}), (PixelOffset{0.25, 0.0}));
}

}  // namespace
}  // namespace halfarc
