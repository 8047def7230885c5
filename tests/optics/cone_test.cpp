// The cone and its image: what must be nil is nil, and the sum over rays is the wavefront's own rms.
#include "halfarc/optics/cone.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "halfarc/optics/plate.h"

namespace halfarc {
namespace {

constexpr Length kGreen = Length::nm(550.0);
const BenchPoint kFocus{{}, {}, Length::mm(80.0)};

TEST(Cone, WithoutGlassIsPerfect) {
  const auto image = image_through({.focal_ratio = 10.0}, kFocus, {}, kGreen);
  ASSERT_TRUE(image.has_value());
  EXPECT_NEAR(image->rms_waves, 0.0, 1e-9);
  EXPECT_NEAR(image->strehl, 1.0, 1e-9);
  EXPECT_NEAR((image->focus.z - kFocus.z).um(), 0.0, 1e-6);
  EXPECT_NEAR(image->spot_radius.um(), 0.0, 1e-6);
}

TEST(Cone, IsClosedWhenAFaceThrowsItsLightBack) {
  const std::array<FlatFace, 2> slab = {FlatFace{{}, leaning(Angle::deg(0.0), Angle()), 1.5},
                                        FlatFace{{{}, {}, Length::mm(5.0)}, leaning(Angle::deg(45.0), Angle()), 1.0}};
  EXPECT_FALSE(image_through({.focal_ratio = 10.0}, kFocus, slab, kGreen).has_value());
}

// The fit names nearly all of the error of a tilted plate, so its rms over the annulus is that of the rays; the peak
// follows Marechal's rule [Mahajan1998]; the spot of astigmatism alone, W r^2 cos 2t, is 4 N W <r^2>^0.5.
TEST(Cone, NamedErrorsAddUpToTheRms) {
  const Cone cone{.focal_ratio = 6.0, .obstruction = 0.34};
  const Plate plate{crown_glass(), Length::mm(12.0), Angle::deg(15.0), Angle::deg(40.0)};
  const ConeImage image = *image_through(cone, kFocus, faces(plate, kGreen, Length()), kGreen);
  const Pupil pupil{Length::mm(203.0), 0.34};
  EXPECT_GT(image.rms_waves, 0.05);
  EXPECT_NEAR(rms_waves(image.wavefront, pupil) / image.rms_waves, 1.0, 0.02);
  EXPECT_NEAR(image.strehl, strehl_of_rms(image.rms_waves), 0.03);
}

TEST(Cone, SpotOfPureAstigmatism) {
  const Cone cone{.focal_ratio = 40.0, .obstruction = 0.34};
  const Plate plate{crown_glass(), Length::mm(20.0), Angle::deg(25.0), Angle()};
  const ConeImage image = *image_through(cone, kFocus, faces(plate, kGreen, Length()), kGreen);
  const double w = std::hypot(image.wavefront.astigmatism, image.wavefront.astigmatism_45);
  EXPECT_LT(std::hypot(image.wavefront.coma_x, image.wavefront.coma_y), 0.1 * w);
  const double mean_square = 0.5 * (1.0 + 0.34 * 0.34);
  EXPECT_NEAR(image.spot_radius / (4.0 * 40.0 * w * std::sqrt(mean_square) * kGreen), 1.0, 0.02);
}

}  // namespace
}  // namespace halfarc
