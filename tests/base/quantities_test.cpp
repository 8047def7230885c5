// Length, Duration, Pressure, SpatialFrequency and Temperature: their units and what may be done with them.
#include <gtest/gtest.h>

#include "halfarc/base/angular_rate.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/length.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/pressure.h"
#include "halfarc/base/rotation_model.h"
#include "halfarc/base/spatial_frequency.h"
#include "halfarc/base/speed.h"
#include "halfarc/base/temperature.h"

namespace halfarc {
namespace {

using namespace literals;

TEST(Length, UnitsOfOneMetre) {
  const Length one = 1.0_m;
  EXPECT_DOUBLE_EQ(one.km(), 1e-3);
  EXPECT_DOUBLE_EQ(one.cm(), 1e2);
  EXPECT_DOUBLE_EQ(one.mm(), 1e3);
  EXPECT_DOUBLE_EQ(one.um(), 1e6);
  EXPECT_DOUBLE_EQ(one.nm(), 1e9);
  EXPECT_DOUBLE_EQ(Length::km(1.0).m(), 1000.0);
  EXPECT_DOUBLE_EQ(Length::cm(1.0).m(), 0.01);
  EXPECT_DOUBLE_EQ((203.0_mm).m(), 0.203);
  EXPECT_DOUBLE_EQ((3.45_um).m(), 3.45e-6);
  EXPECT_DOUBLE_EQ((550.0_nm).um(), 0.55);
}

TEST(Length, DividesIntoABareNumber) { EXPECT_NEAR(203.0_mm / 550.0_nm, 369'090.909, 1e-3); }

TEST(Duration, Units) {
  EXPECT_DOUBLE_EQ(Duration::days(1.0).s(), 86'400.0);
  EXPECT_DOUBLE_EQ(Duration::hours(1.0).minutes(), 60.0);
  EXPECT_DOUBLE_EQ(Duration::minutes(90.0).hours(), 1.5);
  EXPECT_DOUBLE_EQ(Duration::ms(20.0).s(), 0.02);
  EXPECT_DOUBLE_EQ(Duration::s(0.02).ms(), 20.0);
  EXPECT_DOUBLE_EQ(Duration::s(43'200.0).days(), 0.5);
}

// The standard atmosphere is 101 325 Pa and 760 mmHg by definition (10th CGPM, 1954).
TEST(Pressure, StandardAtmosphere) {
  EXPECT_DOUBLE_EQ(Pressure::mmhg(760.0).pa(), 101'325.0);
  EXPECT_DOUBLE_EQ(Pressure::hpa(1013.25).mmhg(), 760.0);
  EXPECT_DOUBLE_EQ(Pressure::pa(101'325.0).hpa(), 1013.25);
}

TEST(SpatialFrequency, IsTheInverseOfThePeriod) {
  const auto half_arc = SpatialFrequency::of_period(Angle::arcsec(0.5));
  EXPECT_DOUBLE_EQ(half_arc.per_arcsec(), 2.0);
  EXPECT_DOUBLE_EQ(half_arc.period().arcsec(), 0.5);
  EXPECT_DOUBLE_EQ(SpatialFrequency::per_arcsec(2.0).per_rad(), half_arc.per_rad());
  EXPECT_DOUBLE_EQ(SpatialFrequency::per_rad(1.0).per_arcsec(), Angle::kRadPerArcsec);
}

// 0 degC is 273.15 K by definition (SI brochure, 9th edition, 2.3.1).
TEST(Temperature, CelsiusAndKelvin) {
  EXPECT_DOUBLE_EQ(Temperature::celsius(0.0).kelvin(), 273.15);
  EXPECT_DOUBLE_EQ(Temperature::kelvin(263.15).celsius(), -10.0);
  EXPECT_DOUBLE_EQ(Temperature().celsius(), 0.0);
}

TEST(Temperature, DifferencesAreAKindOfTheirOwn) {
  const TemperatureDifference warmer = Temperature::celsius(12.0) - Temperature::celsius(7.5);
  EXPECT_DOUBLE_EQ(warmer.kelvin(), 4.5);
  EXPECT_DOUBLE_EQ((Temperature::celsius(7.5) + warmer).celsius(), 12.0);
  EXPECT_NEAR((Temperature::celsius(7.5) - 2.0 * warmer).celsius(), -1.5, 1e-12);
  EXPECT_LT(Temperature::celsius(-1.0), Temperature::celsius(1.0));
}

// A turn of 360 deg a day of 86 400 s is 15 deg/h, 15 arcsec/s and 900 arcsec/min.
TEST(AngularRate, UnitsOfOneTurnADay) {
  const auto rate = AngularRate::deg_per_day(360.0);
  EXPECT_DOUBLE_EQ(rate.deg_per_hour(), 15.0);
  EXPECT_DOUBLE_EQ(rate.arcsec_per_s(), 15.0);
  EXPECT_DOUBLE_EQ(rate.arcsec_per_minute(), 900.0);
  EXPECT_DOUBLE_EQ(AngularRate::deg_per_hour(15.0).deg_per_day(), 360.0);
  EXPECT_DOUBLE_EQ(AngularRate::arcsec_per_s(15.0).rad_per_s(), rate.rad_per_s());
  EXPECT_DOUBLE_EQ(AngularRate::arcsec_per_minute(900.0).rad_per_s(), rate.rad_per_s());
  EXPECT_DOUBLE_EQ(AngularRate::rad_per_s(1.0).rad_per_s(), 1.0);
}

TEST(AngularRate, TimesADurationIsAnAngle) {
  EXPECT_DOUBLE_EQ((AngularRate::deg_per_hour(36.0) * Duration::minutes(10.0)).deg(), 6.0);
  EXPECT_DOUBLE_EQ((Duration::minutes(10.0) * AngularRate::deg_per_hour(36.0)).deg(), 6.0);
}

// s = s0 + v t + a t^2 / 2.
TEST(TurningAngle, FollowsItsRateAndTheChangeOfIt) {
  const TurningAngle angle{Angle::rad(1.0), AngularRate::rad_per_s(2.0), 3.0};
  EXPECT_DOUBLE_EQ(angle.after(Duration::s(0.0)).rad(), 1.0);
  EXPECT_DOUBLE_EQ(angle.after(Duration::s(2.0)).rad(), 1.0 + 4.0 + 6.0);
  EXPECT_DOUBLE_EQ(angle.after(Duration::s(-2.0)).rad(), 1.0 - 4.0 + 6.0);
}

TEST(RotationModel, CountsFromItsReference) {
  RotationModel model;
  model.reference = Utc::unix_ns(1'000'000'000);
  EXPECT_DOUBLE_EQ(model.since_reference(Utc::unix_ns(3'500'000'000)).s(), 2.5);
}

TEST(Speed, Units) {
  EXPECT_DOUBLE_EQ(Speed::km_per_h(36.0).m_per_s(), 10.0);
  EXPECT_DOUBLE_EQ(Speed::m_per_s(10.0).km_per_h(), 36.0);
}

TEST(Measured, CarriesItsError) {
  const Measured<Angle> seeing{Angle::arcsec(1.8), Angle::arcsec(0.1)};
  EXPECT_DOUBLE_EQ(seeing.value / seeing.sigma, 18.0);
}

}  // namespace
}  // namespace halfarc
