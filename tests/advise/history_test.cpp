#include "halfarc/advise/history.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace halfarc {
namespace {

Reading coma(double s, double x, double y) { return {Utc::unix_s(s), Reads::coma, x, y, {0.01, 0.0, 0.01}}; }

TEST(History, IsPutInOrderOfTimeAndOfTheSameInstantTheReadingCameFirst) {
  History night;
  night.turns.push_back({Utc::unix_s(100.0), {Control::screw_a, 0.125}});
  night.readings = {coma(200.0, 2.0, 0.0), coma(100.0, 1.0, 0.0)};
  const auto events = in_order(night);
  ASSERT_TRUE(events.has_value());
  ASSERT_EQ(events->size(), 3U);
  EXPECT_EQ(std::get<Reading>((*events)[0]).x, 1.0);
  EXPECT_TRUE(std::holds_alternative<Turn>((*events)[1]));
  EXPECT_EQ(std::get<Reading>((*events)[2]).x, 2.0);
}

TEST(History, RefusesNumbersThatAreNone) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_FALSE(in_order({{coma(0.0, nan, 0.0)}, {}}).has_value());
  Reading reading = coma(0.0, 1.0, 0.0);
  reading.scatter.xy = 0.02;  // more bound than fully
  EXPECT_FALSE(in_order({{reading}, {}}).has_value());
  reading.scatter = {0.0, 0.0, 0.01};
  EXPECT_FALSE(in_order({{reading}, {}}).has_value());
  EXPECT_FALSE(in_order({{}, {{Utc(), {Control::focus, nan}}}}).has_value());
}

TEST(History, TurnsColoursIntoTheFrameOfTheZenith) {
  // The zenith to the right on the image: what lies right on it lies along, what lies down lies to the zenith's right.
  const SkyOffset offset{Angle::arcsec(0.5), Angle::arcsec(0.2)};
  const Reading r = colours_reading(Utc(), offset, {0.04, 0.01, 0.09}, Angle::deg(90.0));
  EXPECT_NEAR(r.y, 0.5, 1e-12);
  EXPECT_NEAR(r.x, 0.2, 1e-12);
  EXPECT_NEAR(r.scatter.yy, 0.04, 1e-12);
  EXPECT_NEAR(r.scatter.xx, 0.09, 1e-12);
  EXPECT_NEAR(r.scatter.xy, 0.01, 1e-12);
  const Reading upright = colours_reading(Utc(), offset, {0.04, 0.01, 0.09}, Angle());
  EXPECT_NEAR(upright.x, 0.5, 1e-12);
  EXPECT_NEAR(upright.y, -0.2, 1e-12);
  EXPECT_NEAR(upright.scatter.xy, -0.01, 1e-12);
}

}  // namespace
}  // namespace halfarc
