#include "halfarc/simulate/dew.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

TEST(Dew, GrowsFromItsBeginning) {
  const DewSpec dew{0.4, 0.3, Angle::arcsec(60.0), Duration::s(10.0), Duration::s(20.0)};
  EXPECT_EQ(veil_at(dew, Duration::s(9.0)).kept, 1.0);
  EXPECT_NEAR(veil_at(dew, Duration::s(30.0)).kept, 1.0 - 0.4 * (1.0 - std::exp(-1.0)), 1e-12);
  EXPECT_NEAR(veil_at(dew, Duration::hours(1.0)).scattered, 0.3, 1e-9);
}

// The halo holds all the light, and half of it within sqrt(3) s.
TEST(Dew, HaloSumsToOne) {
  const Angle s = Angle::arcsec(60.0);
  double within = 0.0;
  double all = 0.0;
  for (int i = 0; i < 2'000'000; ++i) {
    const double r = (i + 0.5) * 0.02 * s.rad();
    const double ring = halo_light(s, Angle::rad(r)) * 2.0 * std::numbers::pi * r * 0.02 * s.rad();
    all += ring;
    if (r < std::numbers::sqrt3 * s.rad()) within += ring;
  }
  EXPECT_NEAR(all, 1.0, 1e-3);
  EXPECT_NEAR(within, 0.5, 5e-3);
}

}  // namespace
}  // namespace halfarc
