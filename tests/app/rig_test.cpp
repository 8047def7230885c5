#include "halfarc/app/rig.h"

#include <gtest/gtest.h>

#include "halfarc/optics/passband.h"

namespace halfarc {
namespace {

// The visual back is as long as makes the train need the back focus that the telescope was designed for, so that the
// scale is that of 203 mm at f/10 through 2.0x: 206265" x 3.45 um / 4060 mm.
TEST(Rig, TheExampleHasTheScaleOfTheExamples) {
  const Rig rig = example_rig();
  const Result<TrainSolution> solved = solve(rig);
  ASSERT_TRUE(solved) << solved.error().line();
  EXPECT_NEAR(solved->back_focus.mm(), 127.0, 1.0);
  EXPECT_NEAR(solved->focal_length.mm(), 4060.0, 15.0);
  EXPECT_NEAR(plate_scale(rig, *solved).arcsec_per_px(), 0.1753, 0.0007);
  for (const PlacedPart& placed : solved->parts) EXPECT_FALSE(placed.cuts_axis) << placed.part.name;
}

// From the amplifier on the cone is that of the sensor, and the lever arm on the sky is distance over focal length.
TEST(Rig, TheCorrectorStandsBehindTheAmplifier) {
  const Rig rig = example_rig();
  const Result<TrainSolution> solved = solve(rig);
  ASSERT_TRUE(solved);
  const auto place = corrector_place(*solved);
  ASSERT_TRUE(place);
  EXPECT_NEAR(place->cone.focal_ratio, solved->focal_ratio, 0.2);
  EXPECT_NEAR(place->focal_length / solved->focal_length, 1.0, 0.01);
  EXPECT_GT(place->to_focus.mm(), 17.5 + 5.0 - 1.0);  // camera and filter
  EXPECT_LT(place->to_focus.mm(), 17.5 + 5.0 + 30.0);
}

TEST(Rig, ColourPlanesLieInTheirColours) {
  const auto planes = colour_planes(example_rig());
  const Length red = mean_wavelength(planes[0]), green = mean_wavelength(planes[1]), blue = mean_wavelength(planes[2]);
  EXPECT_NEAR(red.nm(), 610.0, 25.0);
  EXPECT_NEAR(green.nm(), 535.0, 20.0);
  EXPECT_NEAR(blue.nm(), 465.0, 20.0);
}

TEST(Rig, WithoutAMosaicTheThreePlanesAreOne) {
  Rig rig = example_rig();
  rig.mosaic = Mosaic::mono;
  const auto planes = colour_planes(rig);
  EXPECT_EQ(mean_wavelength(planes[0]), mean_wavelength(planes[2]));
  EXPECT_GT(area_nm(planes[1]), area_nm(colour_planes(example_rig())[1]));
}

TEST(Rig, TheOwnersTimeConstantReplacesTheUsualOne) {
  Rig rig = example_rig();
  rig.time_constant = Duration::minutes(123.0);
  const Duration told = mirror_time_constant(tube_heat(rig), TemperatureDifference::kelvin(5.0));
  EXPECT_NEAR(told.minutes(), 123.0, 1.0);
}

TEST(Rig, SourcesOfAScaleHaveTheNamesOfTheContract) {
  EXPECT_EQ(name_of(ScaleSource::given), "given");
  EXPECT_EQ(name_of(ScaleSource::rig), "rig");
  EXPECT_EQ(name_of(ScaleSource::default_rig), "default rig");
}

}  // namespace
}  // namespace halfarc
