#include "halfarc/optics/telescope.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace halfarc {
namespace {

const Telescope kScope = schmidt_cassegrain();
constexpr Length kGreen = Length::nm(550.0);

// A ray near or far from the axis in the plane that holds it: z along the tube, from the secondary's vertex towards
// the sky, y across.
struct Ray {
  double z, y, dz, dy;
};

// To the sphere with its vertex at `vertex` and its centre at `vertex + radius`, and reflected there. All in mm.
Ray reflected(const Ray& ray, double vertex, double radius) {
  const double oz = ray.z - (vertex + radius);
  const double along = oz * ray.dz + ray.y * ray.dy;
  const double root = std::sqrt(along * along - (oz * oz + ray.y * ray.y - radius * radius));
  double t = -along + root;  // of the two places where the line meets the sphere, the one on the vertex's side
  if (std::abs(ray.z - along * ray.dz - root * ray.dz - vertex) < std::abs(ray.z + t * ray.dz - vertex)) {
    t = -along - root;
  }
  Ray out{ray.z + t * ray.dz, ray.y + t * ray.dy, 0.0, 0.0};
  const double nz = (out.z - (vertex + radius)) / radius;
  const double ny = out.y / radius;
  const double into = ray.dz * nz + ray.dy * ny;
  out.dz = ray.dz - 2.0 * into * nz;
  out.dy = ray.dy - 2.0 * into * ny;
  return out;
}

// A ray that left the corrector (at the secondary) at `height`, turned by `slope`, after both mirrors.
Ray through_mirrors(const MirrorPair& mirrors, double separation_mm, double height_mm, double slope) {
  const double norm = std::hypot(1.0, slope);
  const Ray ray{0.0, height_mm, -1.0 / norm, slope / norm};
  return reflected(reflected(ray, -separation_mm, 2.0 * mirrors.primary_focal_length.mm()), 0.0,
                   2.0 * mirrors.secondary_focal_length.mm());
}

// How far behind the secondary that ray crosses the axis, in mm.
double crossing_mm(const MirrorPair& mirrors, double separation_mm, double height_mm, double slope = 0.0) {
  const Ray ray = through_mirrors(mirrors, separation_mm, height_mm, slope);
  return ray.y * ray.dz / ray.dy - ray.z;
}

// The turn of the corrector that sends the ray at `height` to the axis `image` behind the secondary: an ideal
// corrector for these spheres. The height at which the ray arrives there grows with the turn.
double correcting_slope(const MirrorPair& mirrors, double height_mm, double image_mm) {
  double low = -0.01;
  double high = 0.01;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    const Ray ray = through_mirrors(mirrors, mirrors.separation.mm(), height_mm, middle);
    const double arrives = ray.y - (image_mm + ray.z) * ray.dy / ray.dz;
    (arrives > 0.0 ? high : low) = middle;
  }
  return 0.5 * (low + high);
}

double separation_at(Length back_focus) {
  return (kScope.mirrors->separation - skyward_travel(kScope, kScope.back_focus, back_focus)).mm();
}

TEST(Telescope, DesignIsTheFocalLengthAskedFor) {
  EXPECT_NEAR(effective_focal_length(kScope, kScope.back_focus).mm(), 2030.0, 1e-9);
  EXPECT_NEAR(secondary_magnification(kScope, kScope.back_focus), 5.0, 1e-12);
  EXPECT_NEAR(skyward_travel(kScope, kScope.back_focus, kScope.back_focus).mm(), 0.0, 1e-12);
  EXPECT_NEAR(used_pupil(kScope, kScope.back_focus).diameter.mm(), 203.0, 1e-12);
}

// A second route: rays close to the axis through two real spheres, at the mirror position that the formulae give.
TEST(Telescope, RaysCloseToTheAxisFocusWhereThePortSays) {
  for (const double back_focus_mm : {80.0, 127.0, 180.0, 320.0}) {
    const Length back_focus = Length::mm(back_focus_mm);
    const double height = 0.05;
    const double image = crossing_mm(*kScope.mirrors, separation_at(back_focus), height);
    EXPECT_NEAR(image - kScope.mirrors->port_to_secondary.mm(), back_focus_mm, 2e-3);
    // Focal length: height over the slope at which the ray arrives.
    const Ray ray = through_mirrors(*kScope.mirrors, separation_at(back_focus), height, 0.0);
    EXPECT_NEAR(-height / (ray.dy / ray.dz) / effective_focal_length(kScope, back_focus).mm(), -1.0, 1e-5);
  }
}

TEST(Telescope, SmallStepsOfTheMirrorMoveTheFocusMSquaredTimesAsFar) {
  const Length step = Length::um(10.0);
  const double m = secondary_magnification(kScope, kScope.back_focus);
  EXPECT_NEAR(step / skyward_travel(kScope, kScope.back_focus, kScope.back_focus + step), m * m, 1e-3);
}

// A second route to third-order theory: exact rays through both spheres behind an ideal corrector. W rho^4 brings the
// edge ray to focus 16 N^2 W further out than the middle one.
TEST(Telescope, SphericalAberrationAgreesWithExactRays) {
  const MirrorPair& mirrors = *kScope.mirrors;
  const double design_image = (mirrors.port_to_secondary + kScope.back_focus).mm();
  for (const double more_mm : {-50.0, 25.4, 50.0, 150.0}) {
    const Length back_focus = kScope.back_focus + Length::mm(more_mm);
    std::vector<double> image;
    for (const double height : {1.0, 101.5}) {
      image.push_back(
          crossing_mm(mirrors, separation_at(back_focus), height, correcting_slope(mirrors, height, design_image)));
    }
    const double ratio = effective_focal_length(kScope, back_focus) / kScope.aperture;
    const double exact = (image[1] - image[0]) / (16.0 * ratio * ratio) / kGreen.mm();
    const double third_order = spherical_change_waves(kScope, back_focus, kGreen);
    EXPECT_NEAR(third_order, exact, 0.10 * std::abs(exact)) << more_mm;
  }
}

TEST(Telescope, KnobComesUpAgainstTheWeightOfTheMirror) {
  const Knob knob{Length::mm(0.75), false, 0.05};
  const KnobTurn out = knob_turn(knob, Length::mm(0.375));
  EXPECT_DOUBLE_EQ(out.turns, 0.5);
  EXPECT_FALSE(out.clockwise);
  EXPECT_EQ(out.past, 0.0);
  const KnobTurn in = knob_turn(knob, Length::mm(-0.75));
  EXPECT_DOUBLE_EQ(in.turns, 1.0);
  EXPECT_TRUE(in.clockwise);
  EXPECT_DOUBLE_EQ(in.past, 0.30);
  EXPECT_TRUE(knob_turn({Length::mm(0.75), true, 0.0}, Length::mm(0.1)).clockwise);
}

// Common practice: 23 um/m/K of a closed tube comes to about 0.18 to 0.24 mm a kelvin at the focal plane.
TEST(Telescope, CoolingTubeMovesTheFocusOutwards) {
  const double per_kelvin = focus_shift_per_kelvin(kScope, kScope.back_focus).mm();
  EXPECT_LT(per_kelvin, -0.17);
  EXPECT_GT(per_kelvin, -0.25);
  // The same by geometry: the secondary 23e-6 of the separation further from primary and port.
  Telescope warm = kScope;
  const Length grown = kScope.mirrors->separation * 23e-6;
  warm.mirrors->port_to_secondary += grown;
  const double image = crossing_mm(*warm.mirrors, (warm.mirrors->separation + grown).mm(), 0.05);
  EXPECT_NEAR(image - warm.mirrors->port_to_secondary.mm() - 127.0, per_kelvin, 3e-3);
}

TEST(Telescope, TooMuchBackFocusOutgrowsTheSecondary) {
  Telescope narrow = kScope;
  narrow.mirrors->secondary_diameter = Length::mm(50.0);
  const Pupil pupil = used_pupil(narrow, Length::mm(300.0));
  EXPECT_LT(pupil.diameter.mm(), 200.0);
  EXPECT_NEAR(pupil.diameter.mm() * pupil.obstruction, 203.0 * 0.34, 1e-9);  // the shadow stays as it is
  EXPECT_EQ(used_pupil(kScope, Length::mm(300.0)).diameter, kScope.aperture);
  narrow.mirrors->secondary_diameter = Length();  // unknown
  EXPECT_EQ(used_pupil(narrow, Length::mm(300.0)).diameter, kScope.aperture);
}

TEST(Telescope, TooMuchBackFocusOutgrowsTheBaffle) {
  const Length back_focus = Length::mm(400.0);
  const Pupil pupil = used_pupil(kScope, back_focus);
  EXPECT_LT(pupil.diameter, kScope.aperture);
  // The cone of that opening is as wide as the baffle where the baffle stands.
  const double cone = pupil.diameter / effective_focal_length(kScope, back_focus);
  EXPECT_NEAR(((kScope.baffle->before_port + back_focus) * cone).mm(), kScope.baffle->diameter.mm(), 1e-9);
}

TEST(Telescope, PlainObjectiveKeepsItsFocalLength) {
  const Telescope plain = refractor();
  const Length more = plain.back_focus - Length::mm(40.0);
  EXPECT_EQ(effective_focal_length(plain, more), plain.focal_length);
  EXPECT_NEAR(skyward_travel(plain, plain.back_focus, more).mm(), -40.0, 1e-9);
  EXPECT_EQ(spherical_change_waves(plain, more, kGreen), 0.0);
  EXPECT_LT(focus_shift_per_kelvin(plain, plain.back_focus).mm(), 0.0);
  EXPECT_EQ(newtonian().mirrors.has_value(), false);
  EXPECT_NEAR(effective_focal_length(maksutov(), maksutov().back_focus).mm(), 1800.0, 1e-9);
}

// A ray through the middle of the opening, over both mirrors.
TEST(Telescope, ChiefRaysComeFromTheExitPupil) {
  for (const double back_focus_mm : {80.0, 127.0, 320.0}) {
    const Length back_focus = Length::mm(back_focus_mm);
    const double behind = crossing_mm(*kScope.mirrors, separation_at(back_focus), 0.0, 1e-4);
    EXPECT_NEAR(exit_pupil_before_port(kScope, back_focus).mm(), kScope.mirrors->port_to_secondary.mm() - behind, 1e-3);
  }
  EXPECT_EQ(exit_pupil_before_port(refractor(), Length::mm(140.0)).mm(), 840.0 - 140.0);
}

// The rms of rho^4 over the annulus, with the best focus taken out, summed numerically.
TEST(Telescope, SphericalRmsIsThatOfTheAnnulus) {
  for (const double e : {0.0, 0.34}) {
    const int n = 4000;
    double sum[5] = {};  // of u^k over the annulus, u = rho^2 spread evenly
    for (int i = 0; i < n; ++i) {
      const double u = e * e + (1.0 - e * e) * (i + 0.5) / n;
      for (int k = 0; k < 5; ++k) sum[k] += std::pow(u, k) / n;
    }
    const double u_u = sum[2] - sum[1] * sum[1];
    const double u_w = sum[3] - sum[1] * sum[2];
    const double w_w = sum[4] - sum[2] * sum[2];
    EXPECT_NEAR(spherical_rms_waves(1.0, e), std::sqrt(w_w - u_w * u_w / u_u), 1e-6);
  }
  EXPECT_DOUBLE_EQ(spherical_peak_to_valley_waves(-0.4), 0.1);  // rho^4 - rho^2 dips to -1/4
}

}  // namespace
}  // namespace halfarc
