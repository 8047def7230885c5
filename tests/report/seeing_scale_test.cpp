#include "halfarc/report/seeing_scale.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

TEST(SeeingScale, WorsensWithTheWidth) {
  EXPECT_EQ(antoniadi(Angle::arcsec(0.5)), "I");
  EXPECT_EQ(antoniadi(Angle::arcsec(1.0)), "II");
  EXPECT_EQ(antoniadi(Angle::arcsec(1.5)), "III");
  EXPECT_EQ(antoniadi(Angle::arcsec(3.0)), "IV");
  EXPECT_EQ(antoniadi(Angle::arcsec(6.0)), "V");
}

}  // namespace
}  // namespace halfarc
