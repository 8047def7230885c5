#include "halfarc/app/prism_reading.h"

#include <gtest/gtest.h>

#include "halfarc/app/home.h"

namespace halfarc {
namespace {

TEST(PrismReading, SplitsColoursAlongTheZenith) {
  const ColourShift shift{{0.0, 1.0}, {0.5, -1.0}, {0.1, 0.1}, {0.1, 0.1}};
  const auto up = colours_on_sky(shift, PlateScale::arcsec_per_px(0.2), {Angle(), Angle::deg(1.0)});
  EXPECT_NEAR(up.along.value, 0.4, 1e-9);
  EXPECT_NEAR(up.across.value, 0.1, 1e-9);
  EXPECT_NEAR(up.along.sigma, std::hypot(0.02 * std::sqrt(2.0), 0.1 * 0.0174533), 1e-5);
  const auto right = colours_on_sky(shift, PlateScale::arcsec_per_px(0.2), {Angle::deg(90.0), {}});
  EXPECT_NEAR(right.along.value, 0.1, 1e-9);
  EXPECT_NEAR(right.across.value, -0.4, 1e-9);  // down is to the right of a zenith on the right; blue lies up
}

// All of the air's colours left: levers at 0. None left: where they should be. A pull to the side: that roll.
TEST(PrismReading, TellsWhereTheLeversStand) {
  const Rig rig = example_rig();
  const TrainSolution train = solve(rig).value();
  const auto read = [&](double along, double across) {
    return read_prisms({{along, 0.01}, {across, 0.01}}, rig, train, sky::Body::jupiter, example_site().site,
                       Angle::deg(35.0), 1.74);
  };
  const auto untouched = read(0.0, 0.0);
  ASSERT_TRUE(untouched);
  EXPECT_GT(untouched->air_arcsec, 0.3);
  EXPECT_LT(untouched->air_arcsec, 2.0);
  EXPECT_NEAR(untouched->marks.value, untouched->best_marks, 1e-6);
  EXPECT_NEAR(untouched->roll_off.value.deg(), 0.0, 1e-9);
  const double air = untouched->air_arcsec;
  const auto closed = read(air, 0.0);
  EXPECT_NEAR(closed->marks.value, 0.0, 0.05);
  EXPECT_FALSE(closed->pulls);
  // Turned clockwise by 10 degrees, a pull that points down points to the left of down.
  const double turn = Angle::deg(10.0).rad();
  const auto rolled = read(air * (1.0 - std::cos(turn)), -air * std::sin(turn));
  EXPECT_NEAR(rolled->roll_off.value.deg(), 10.0, 1e-6);
  EXPECT_NEAR(rolled->marks.value, rolled->best_marks, 1e-3);
}

TEST(PrismReading, NothingWithoutACorrector) {
  Rig rig = example_rig();
  const TrainSolution train = solve(rig).value();
  rig.corrector.reset();
  EXPECT_FALSE(read_prisms({}, rig, train, sky::Body::jupiter, example_site().site, Angle::deg(35.0), 1.74));
}

}  // namespace
}  // namespace halfarc
