#include "halfarc/simulate/surface.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

namespace halfarc {
namespace {

constexpr std::array<BodyKind, 5> kKinds = {BodyKind::banded_giant, BodyKind::ruddy_disc, BodyKind::ringed_giant,
                                            BodyKind::cloudy_disc, BodyKind::blank_disc};

// [McEwen1991]: unit reflectance is 1 seen and lit from above; no light from the night side; at opposition the limb
// keeps L.
TEST(Surface, LimbDarkening) {
  for (const BodyKind kind : kKinds) {
    for (std::size_t c = 0; c < 3; ++c) {
      EXPECT_NEAR(limb_darkening(kind, 1.0, 1.0)[c], 1.0F, 1e-6F);
      EXPECT_EQ(limb_darkening(kind, 0.5, -0.1)[c], 0.0F);
      EXPECT_LT(limb_darkening(kind, 0.05, 0.05)[c], limb_darkening(kind, 0.8, 0.8)[c]);
    }
  }
}

SurfacePoint at(double latitude_deg, double longitude_deg) {
  SurfacePoint p;
  p.latitude = Angle::deg(latitude_deg);
  p.longitude = Angle::deg(longitude_deg);
  p.to_us = p.to_sun = 1.0;
  return p;
}

TEST(Surface, ReflectsBetweenNothingAndAWhiteScreen) {
  for (const BodyKind kind : kKinds) {
    for (int latitude = -90; latitude <= 90; latitude += 7) {
      for (int longitude = 0; longitude < 360; longitude += 11) {
        for (const float r : reflectance(kind, at(latitude, longitude), 60.0, 1)) {
          EXPECT_GT(r, 0.1F);
          EXPECT_LT(r, 1.2F);
        }
      }
    }
  }
}

TEST(Surface, NoSeamWhereLongitudeStartsAgain) {
  for (const BodyKind kind : kKinds) {
    for (int latitude = -80; latitude <= 80; latitude += 16) {
      const auto west = reflectance(kind, at(latitude, -1e-7), 60.0, 1);
      const auto east = reflectance(kind, at(latitude, 360.0 + 1e-7), 60.0, 1);
      for (std::size_t c = 0; c < 3; ++c) EXPECT_NEAR(west[c], east[c], 1e-4F);
    }
  }
}

TEST(Surface, NothingIsOnTheBlankDisc) {
  for (int latitude = -90; latitude <= 90; latitude += 7) {
    EXPECT_EQ(reflectance(BodyKind::blank_disc, at(latitude, 3.0 * latitude), 60.0, 1),
              reflectance(BodyKind::blank_disc, at(0.0, 0.0), 60.0, 2));
  }
}

// The coloured things are there: ochre spot, white cap, and both stay when the seed changes.
TEST(Surface, LandmarksAreWhereTheyAreMeantToBe) {
  for (const std::uint64_t seed : {1U, 2U, 9U}) {
    const auto spot = reflectance(BodyKind::banded_giant, at(-22.5, 35.0), 60.0, seed);
    EXPECT_GT(spot[0], 1.8F * spot[2]);
    const auto cap = reflectance(BodyKind::ruddy_disc, at(86.0, 0.0), 60.0, seed);
    EXPECT_GT(cap[2], 0.8F);
    const auto desert = reflectance(BodyKind::ruddy_disc, at(50.0, 0.0), 60.0, seed);
    EXPECT_LT(desert[2], 0.7F * desert[0]);
  }
}

// The great spot drifts by 0.3 degrees a day, westwards.
TEST(Surface, WindsCarryTheSpots) {
  const SurfaceWeather later{Duration::days(100.0), 0.0};
  const auto was = reflectance(BodyKind::banded_giant, at(-22.5, 35.0), 60.0, 1);
  const auto left = reflectance(BodyKind::banded_giant, at(-22.5, 35.0), 60.0, 1, later);
  const auto now = reflectance(BodyKind::banded_giant, at(-22.5, 5.0), 60.0, 1, later);
  EXPECT_LT(was[2], 0.5F);
  EXPECT_GT(left[2], 0.6F);
  EXPECT_LT(now[2], 0.5F);
}

TEST(Surface, CloudsWhitenTheBlueMost) {
  double red = 0.0;
  double blue = 0.0;
  for (int longitude = 0; longitude < 360; longitude += 5) {
    SurfacePoint morning = at(10.0, longitude);
    morning.to_sun = 0.2;
    const auto clear = reflectance(BodyKind::ruddy_disc, morning, 60.0, 1);
    const auto cloudy = reflectance(BodyKind::ruddy_disc, morning, 60.0, 1, {Duration(), 1.0});
    red += static_cast<double>(cloudy[0] - clear[0]);
    blue += static_cast<double>(cloudy[2] - clear[2]);
  }
  EXPECT_GT(blue, 0.5);
  EXPECT_GT(blue, 2.0 * red);
}

TEST(Ring, EmptyInsideOutsideAndInTheGap) {
  EXPECT_EQ(ring_at(1.1).opacity, 0.0);
  EXPECT_EQ(ring_at(1.99).opacity, 0.0);
  EXPECT_EQ(ring_at(kRingOuterRadius + 1e-9).opacity, 0.0);
  EXPECT_GT(ring_at(1.8).opacity, 0.8);
  EXPECT_GT(ring_at(1.8).reflectance[1], ring_at(2.1).reflectance[1]);
}

}  // namespace
}  // namespace halfarc
