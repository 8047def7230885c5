#include "halfarc/app/target_light.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/sky/refraction.h"

namespace halfarc {
namespace {

const Weather kQuiet = sky::usual_weather(Length::m(12.0));

// A mean disc of 5.4 mag per square arcsecond fills the wells of a 10 ms exposure at f/20 to some hundreds of electrons
// (common practice: such exposures need a gain well above the lowest).
TEST(TargetLight, JupiterGivesHundredsOfElectronsInTenMilliseconds) {
  const Rig rig = example_rig();
  const auto train = solve(rig);
  ASSERT_TRUE(train);
  const auto rate = target_electrons_per_s(rig, *train, sky::Body::jupiter, 5.4, 1.5, Length::m(12.0));
  for (const double e : rate) {
    EXPECT_GT(e * 0.010, 80.0);
    EXPECT_LT(e * 0.010, 900.0);
  }
  EXPECT_GT(rate[1], rate[2]);
}

// Five magnitudes are a factor of a hundred; more air takes more, and blue first.
TEST(TargetLight, FollowsMagnitudeAndAir) {
  const Rig rig = example_rig();
  const auto train = solve(rig);
  ASSERT_TRUE(train);
  const auto rate = [&](double magnitude, double airmass) {
    return target_electrons_per_s(rig, *train, sky::Body::saturn, magnitude, airmass, Length::m(12.0));
  };
  EXPECT_NEAR(rate(5.0, 1.0)[1] / rate(10.0, 1.0)[1], 100.0, 1e-6);
  EXPECT_LT(rate(5.0, 3.0)[2] / rate(5.0, 1.0)[2], rate(5.0, 3.0)[0] / rate(5.0, 1.0)[0]);
}

// Planes centred near 610, 535 and 465 nm differ at 30 deg by what the air's index says: the same to 0.05" as the lift
// of their mean wavelengths; blue stands highest.
TEST(TargetLight, PlanesAreLiftedByTheirColours) {
  const Rig rig = example_rig();
  const Angle altitude = Angle::deg(30.0);
  const auto bands = dispersed_planes(rig, sky::Body::jupiter, kQuiet, altitude, Length::m(12.0));
  const auto weights = plane_weights(rig, sky::Body::jupiter, sky::airmass(altitude), Length::m(12.0));
  EXPECT_GT(bands[2].centroid, bands[1].centroid);
  EXPECT_GT(bands[1].centroid, bands[0].centroid);
  const Angle simple = dispersion(mean_wavelength(weights[2]), mean_wavelength(weights[0]), kQuiet, altitude);
  EXPECT_NEAR((bands[2].centroid - bands[0].centroid).arcsec(), simple.arcsec(), 0.1);
  EXPECT_GT(bands[1].rms_width.arcsec(), 0.1);
  EXPECT_LT(bands[1].rms_width.arcsec(), 0.4);
}

// r0 of 8 cm and 8 m/s allow milliseconds (common practice: 5 to 20 ms on such nights); calmer air allows longer.
TEST(TargetLight, StillExposuresAreMilliseconds) {
  const auto longest = [](double r0_cm, double wind) {
    return longest_still_exposure(Length::cm(r0_cm), 1.3, Length::mm(203.0), Speed::m_per_s(wind)).ms();
  };
  EXPECT_GT(longest(8.0, 8.0), 3.0);
  EXPECT_LT(longest(8.0, 8.0), 30.0);
  EXPECT_GT(longest(16.0, 8.0), longest(8.0, 8.0));
  EXPECT_NEAR(longest(8.0, 4.0) / longest(8.0, 8.0), 2.0, 0.02);  // only the way of the wind counts
  EXPECT_EQ(longest(500.0, 1.0), 1000.0);
}

}  // namespace
}  // namespace halfarc
