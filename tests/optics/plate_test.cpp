// Plates in a cone: closed forms against rays, and what owners find.
#include "halfarc/optics/plate.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/pixel.h"

namespace halfarc {
namespace {

constexpr Length kGreen = Length::nm(550.0);
constexpr Length kBlue = Length::nm(450.0);
constexpr Length kRed = Length::nm(650.0);
const BenchPoint kFocus{{}, {}, Length::mm(100.0)};

ConeImage image(const Plate& plate, const Cone& cone, Length wavelength = kGreen) {
  return *image_through(cone, kFocus, faces(plate, wavelength, Length()), wavelength);
}

// Common practice: a filter carries the focus back by a third of its thickness.
TEST(Plate, CarriesTheFocusBackByAThirdOfItsThickness) {
  const Plate filter;
  EXPECT_NEAR(focus_shift(filter, kGreen) / filter.thickness, 1.0 / 3.0, 0.01);
  EXPECT_NEAR(focus_shift(filter, kGreen).mm(), 2.0 * (1.0 - 1.0 / 1.51852), 1e-5);
}

// A single ray of the edge, followed to where it meets the axis.
TEST(Plate, ShiftOfTheEdgeIsWhereItsRayMeetsTheAxis) {
  const Plate plate{.thickness = Length::mm(10.0)};
  for (const double f : {3.0, 5.0, 10.0, 30.0}) {
    const double sine = 0.5 / f;
    const Ray ray{kFocus, {-sine, 0.0, std::sqrt(1.0 - sine * sine)}, 1.0, {}};
    const Ray behind = *trace(ray, faces(plate, kGreen, Length()));
    const Length met = behind.at.z - behind.at.x * (behind.along.z / behind.along.x);
    EXPECT_NEAR((met - kFocus.z).um(), edge_focus_shift(plate, kGreen, f).um(), 1e-6) << f;
  }
  EXPECT_NEAR(edge_focus_shift(plate, kGreen, 1000.0).um(), focus_shift(plate, kGreen).um(), 1e-3);
}

// The shift of the middle t (1 - 1/n), from the focus of a slow cone.
TEST(Plate, FocusOfASlowConeIsThatOfTheMiddle) {
  const Plate plate{.thickness = Length::mm(10.0)};
  for (const Length colour : {kBlue, kRed}) {
    const ConeImage seen = image(plate, {.focal_ratio = 100.0}, colour);
    EXPECT_NEAR((seen.focus.z - kFocus.z).um(), focus_shift(plate, colour).um(), 0.2);
  }
}

TEST(Plate, BlueComesToFocusFartherBack) {
  const Plate plate{.thickness = Length::mm(10.0)};
  const Length shift = colour_shift(plate, kBlue, kRed);
  const double blue = refractive_index(plate.glass, kBlue);
  const double red = refractive_index(plate.glass, kRed);
  EXPECT_NEAR(shift.um(), 10e3 * (1.0 / red - 1.0 / blue), 1e-9);
  EXPECT_GT(shift, Length::um(40.0));
  EXPECT_LT(shift, Length::um(60.0));
}

TEST(Plate, EdgeIsOneFourthPowerOfTheFocalRatio) {
  const Plate plate{.thickness = Length::mm(20.0)};
  for (const double f : {5.0, 10.0, 20.0}) {
    const Wavefront third = third_order(plate, {.focal_ratio = f, .obstruction = 0.0}, kGreen);
    EXPECT_NEAR(edge_waves(plate, kGreen, f) / third.spherical, 1.0, 0.4 / (f * f)) << f;
    EXPECT_NEAR(third.spherical / third_order(plate, {.focal_ratio = 2.0 * f}, kGreen).spherical, 16.0, 1e-9);
  }
  // By hand: 20 mm / 550 nm x (1.51852^2 - 1) / (8 x 1.51852^3) x 0.05^4 = 0.01060.
  EXPECT_NEAR(edge_waves(plate, kGreen, 10.0), 0.01060, 3e-5);
}

// The phase that a slab gives to a plane wave needs no rays: it is that of the closed form `edge_waves`.
TEST(Plate, TracedWavefrontIsTheSlabsPhase) {
  const Plate plate{.thickness = Length::mm(20.0)};
  const Cone cone{.focal_ratio = 5.0, .obstruction = 0.0};
  const ConeImage seen = image(plate, cone);
  EXPECT_NEAR(seen.wavefront.spherical, edge_waves(plate, kGreen, 5.0), 0.01 * edge_waves(plate, kGreen, 5.0));
  EXPECT_NEAR(seen.rms_waves, edge_waves(plate, kGreen, 5.0) / (6.0 * std::sqrt(5.0)), 2e-4);  // [BornWolf1999] 9.3
  EXPECT_NEAR(seen.wavefront.coma_x, 0.0, 1e-9);
  EXPECT_NEAR(seen.wavefront.astigmatism, 0.0, 1e-9);
}

TEST(TiltedPlate, TracedErrorsAreThoseOfThirdOrder) {
  for (const double towards : {0.0, 30.0, 135.0, 290.0}) {
    const Plate plate{crown_glass(), Length::mm(10.0), Angle::deg(10.0), Angle::deg(towards)};
    const Cone cone{.focal_ratio = 5.0, .obstruction = 0.34};
    const Wavefront traced = image(plate, cone).wavefront;
    const Wavefront third = third_order(plate, cone, kGreen);
    const double coma = std::hypot(third.coma_x, third.coma_y);
    const double astigmatism = std::hypot(third.astigmatism, third.astigmatism_45);
    EXPECT_NEAR(traced.coma_x, third.coma_x, 0.03 * coma) << towards;
    EXPECT_NEAR(traced.coma_y, third.coma_y, 0.03 * coma) << towards;
    EXPECT_NEAR(traced.astigmatism, third.astigmatism, 0.03 * astigmatism) << towards;
    EXPECT_NEAR(traced.astigmatism_45, third.astigmatism_45, 0.03 * astigmatism) << towards;
    EXPECT_NEAR(traced.spherical, third.spherical, 0.03 * third.spherical) << towards;
    EXPECT_NEAR(traced.defocus, third.defocus, 0.03 * third.spherical) << towards;
  }
}

TEST(TiltedPlate, MovesTheImageTheWayItsNormalLeans) {
  const Plate plate{crown_glass(), Length::mm(5.0), Angle::deg(20.0), Angle::deg(70.0)};
  const PixelOffset step = step_towards(plate.towards);
  const Ray middle = carried_to(*trace(Ray{kFocus, {}, 1.0, {}}, faces(plate, kGreen, Length())), kFocus.z);
  EXPECT_NEAR(middle.at.x.um(), image_shift(plate, kGreen).um() * step.x, 1e-6);
  EXPECT_NEAR(middle.at.y.um(), image_shift(plate, kGreen).um() * step.y, 1e-6);
  EXPECT_GT(image_shift(plate, kGreen), Length());
}

}  // namespace
}  // namespace halfarc
