#include "halfarc/sky/field.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc::sky {
namespace {

Horizontal direction_of(Angle hour_angle, Angle declination, Angle latitude) {
  const double x = -cos(hour_angle) * cos(declination) * sin(latitude) + sin(declination) * cos(latitude);
  const double y = -sin(hour_angle) * cos(declination);
  const double z = cos(hour_angle) * cos(declination) * cos(latitude) + sin(declination) * sin(latitude);
  return {wrap_positive(Angle::rad(std::atan2(y, x))), Angle::rad(std::asin(z))};
}

TEST(Field, ClosedFormsAreTheDerivatives) {
  const Angle step = Angle::rad(1e-4);
  const double seconds = step.rad() / kSiderealRate.rad_per_s();
  for (const double latitude : {-40.0, 0.5, 29.0, 57.1, 70.0}) {
    for (const double declination : {-26.0, -10.0, 0.0, 22.0}) {
      for (const double hour : {-70.0, -25.0, -3.0, 8.0, 40.0, 85.0}) {
        const Angle phi = Angle::deg(latitude), d = Angle::deg(declination), h = Angle::deg(hour);
        const auto a = direction_of(h - step, d, phi), b = direction_of(h + step, d, phi);
        const auto here = direction_of(h, d, phi);
        if (here.altitude > Angle::deg(80.0)) continue;  // differences need smaller steps near the zenith
        const auto m = alt_az_motion(here, phi);
        const double az = wrap_signed(b.azimuth - a.azimuth).rad() / (2.0 * seconds);
        const double alt = (b.altitude - a.altitude).rad() / (2.0 * seconds);
        const double q = wrap_signed(parallactic_angle(h + step, d, phi) - parallactic_angle(h - step, d, phi)).rad() /
                         (2.0 * seconds);
        EXPECT_NEAR(m.azimuth.rad_per_s(), az, 1e-10) << latitude << " " << declination << " " << hour;
        EXPECT_NEAR(m.altitude.rad_per_s(), alt, 1e-10);
        EXPECT_NEAR(m.field_rotation.rad_per_s(), q, 1e-10);
      }
    }
  }
}

TEST(Field, LongestRunIsTheAllowedSmearOverTheWorstRate) {
  const Smear s =
      smear(Angle::arcsec(45.0), AngularRate::deg_per_day(870.536), Angle::deg(0.0), AngularRate::deg_per_hour(-30.0));
  EXPECT_EQ(s.worst, std::max(s.centre, s.limb));
  EXPECT_NEAR(s.limb.arcsec_per_minute(), 22.5 * 30.0 / 60.0 * 3.14159265 / 180.0, 1e-6);
  EXPECT_NEAR(longest_run(s, Angle::arcsec(0.2)).minutes(), 0.2 / s.worst.arcsec_per_minute(), 1e-9);
  EXPECT_TRUE(std::isinf(longest_run(Smear{}, Angle::arcsec(0.2)).s()));
}

}  // namespace
}  // namespace halfarc::sky
