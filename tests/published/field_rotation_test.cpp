// Field rotation and smear against published and computed values.
#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/sky/field.h"

namespace halfarc::sky {
namespace {

// Source: ERFA t_erfa_c.c, eraHd2pa(1.1, 1.2, 0.3) = 1.906227428001995580 rad.
TEST(Erfa, ParallacticAngle) {
  EXPECT_NEAR(parallactic_angle(Angle::rad(1.1), Angle::rad(1.2), Angle::rad(0.3)).rad(), 1.906227428001995580, 1e-13);
}

// Source: Meeus ch. 13-14 (15 cos 43 = 11.0 deg/h on the horizon due south or north at latitude 43), quoted in a mail
// archive.
TEST(Meeus, RotationOnTheHorizonAtLatitude43) {
  const auto m = alt_az_motion({Angle::deg(180.0), Angle::deg(0.0)}, Angle::deg(43.0));
  EXPECT_NEAR(m.field_rotation.deg_per_hour(), 11.0, 0.05);
}

// Computed from the numerical derivative of the parallactic angle by an independent program (2 x 10 of 40 rows):
// latitude, azimuth, altitude, omega cos phi cos A / cos h in deg/h, which is minus dq/dt.
TEST(FieldRotation, TableOfRates) {
  const double rows[][4] = {{40, 90, 20, 0.0},        {40, 120, 40, -7.52053},  {40, 150, 60, -19.95691},
                            {40, 180, 20, -12.26159}, {40, 180, 75, -44.51808}, {40, 210, 40, -13.02595},
                            {52, 90, 60, 0.0},        {52, 120, 20, -4.92725},  {52, 150, 75, -30.98525},
                            {52, 180, 40, -12.08834}, {52, 210, 60, -16.03915}};
  for (const auto& row : rows) {
    const auto m = alt_az_motion({Angle::deg(row[1]), Angle::deg(row[2])}, Angle::deg(row[0]));
    EXPECT_NEAR(-m.field_rotation.deg_per_hour(), row[3], 1e-4) << row[0] << " " << row[1] << " " << row[2];
  }
}

// Computed: latitude, declination, hour angle (h), altitude, azimuth, q, dq/dt (deg/h).
TEST(FieldRotation, WorkedRows) {
  const double rows[][7] = {{45, 20, 1.5, 58.8403, 224.0264, 31.53172, 14.77942},
                            {45, -10, 0, 35.0, 180.0, 0.0, 12.98372},
                            {52, 22, -2, 52.1433, 130.9380, -30.10642, 9.88722},
                            {52, 22.5, 0, 60.5, 180.0, 0.0, 18.80537},
                            {40, 5, 3, 36.5580, 241.2770, 42.40378, 6.89353}};
  for (const auto& row : rows) {
    EXPECT_NEAR(parallactic_angle(Angle::hours(row[2]), Angle::deg(row[1]), Angle::deg(row[0])).deg(), row[5], 1e-5);
    const auto m = alt_az_motion({Angle::deg(row[4]), Angle::deg(row[3])}, Angle::deg(row[0]));
    EXPECT_NEAR(m.field_rotation.deg_per_hour(), row[6], 1e-4);
  }
}

// Common practice: detail in the middle of a 45" Jupiter moves 0.237" a minute.
TEST(Smear, JupitersMiddle) {
  const Smear s =
      smear(Angle::arcsec(45.0), AngularRate::deg_per_day(870.536), Angle::deg(0.0), AngularRate::deg_per_hour(0.0));
  EXPECT_NEAR(s.centre.arcsec_per_minute(), 0.237, 0.001);
}

}  // namespace
}  // namespace halfarc::sky
