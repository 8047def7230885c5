#include "halfarc/optics/tilt_coma.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

struct Vector {
  double x = 0.0, y = 0.0, z = 0.0;

  friend Vector operator+(Vector a, Vector b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
  friend Vector operator-(Vector a, Vector b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
  friend Vector operator*(Vector a, double k) { return {a.x * k, a.y * k, a.z * k}; }
};
double dot(Vector a, Vector b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
double length(Vector a) { return std::sqrt(dot(a, a)); }

struct Ray {
  Vector at, along;
  double path = 0.0;
};

// To the sphere's side nearest to `vertex`, and back from it.
Ray reflected(Ray ray, Vector centre, Vector vertex) {
  const double radius = length(vertex - centre);
  const Vector from = ray.at - centre;
  const double b = dot(from, ray.along), root = std::sqrt(b * b - dot(from, from) + radius * radius);
  const auto there = [&](double s) { return ray.at + ray.along * s; };
  const double s = length(there(-b - root) - vertex) < length(there(-b + root) - vertex) ? -b - root : -b + root;
  const Vector hit = there(s), normal = (hit - centre) * (1.0 / radius);
  return {hit, ray.along - normal * (2.0 * dot(ray.along, normal)), ray.path + s};
}

// Coma by exact rays through two spherical mirrors: the odd part of the path across the opening, its linear part (a
// shift of the star) taken off.
double traced_coma_mm(const Telescope& telescope, double tilt) {
  const MirrorPair& mirrors = *telescope.mirrors;
  const double apart = mirrors.separation.mm(), r1 = 2.0 * mirrors.primary_focal_length.mm(),
               r2 = 2.0 * mirrors.secondary_focal_length.mm();
  const double image = (mirrors.port_to_secondary + telescope.back_focus).mm();
  const double star = tilt * star_shift_per_tilt(telescope, telescope.back_focus);
  const Vector direction{std::sin(star), 0.0, std::cos(star)};
  const Vector vertex2{0.0, 0.0, -apart}, focus{0.0, 0.0, image - apart};
  const Vector centre2 = vertex2 + Vector{r2 * std::sin(tilt), 0.0, -r2 * std::cos(tilt)};
  const auto path = [&](double r) {
    const Vector start{r * telescope.aperture.mm() / 2.0, 0.0, -apart};
    Ray ray{start, direction, dot(start, direction)};
    ray = reflected(ray, {0.0, 0.0, -r1}, {});
    ray = reflected(ray, centre2, vertex2);
    return ray.path + length(focus - ray.at);
  };
  const auto odd = [&](double r) { return (path(r) - path(-r)) / 2.0; };
  return (odd(1.0) - 2.0 * odd(0.5)) / (1.0 - 0.25);
}

TEST(TiltComa, AgreesWithExactRaysThroughATiltedSecondary) {
  for (const Length aperture : {Length::mm(150.0), Length::mm(203.0), Length::mm(280.0)}) {
    Telescope telescope = schmidt_cassegrain(aperture);
    telescope.aperture = aperture / 8.0;  // where third order is all there is
    const double told = coma_per_radian(telescope, telescope.back_focus)->mm();
    EXPECT_NEAR(std::abs(traced_coma_mm(telescope, 2e-3)) / (told * 2e-3), 1.0, 0.01);
  }
}

TEST(TiltComa, OfTheFullApertureIsWithinTenPerCentOfExactRays) {
  const Telescope telescope = schmidt_cassegrain();
  const double told = coma_per_radian(telescope, telescope.back_focus)->mm();
  EXPECT_NEAR(std::abs(traced_coma_mm(telescope, 1e-3)) / (told * 1e-3), 1.0, 0.1);
}

TEST(TiltComa, GrowsAgainstTheWayInWhichTheStarGoes) {
  // Tilted so that the axis of the secondary leans to +x, the star goes to -x. The path grows towards +x, and light
  // bends to where its path is longer: the flare grows to +x.
  const Telescope telescope = schmidt_cassegrain();
  EXPECT_GT(traced_coma_mm(telescope, 1e-3), 0.0);
}

TEST(TiltComa, OfAParaboloidIsTheTextbookComaOfAFieldAngleEqualToTheTilt) {
  // Angular sagittal coma of a paraboloid is theta / (16 F^2) [Schroeder2000]: path (D/2) times that at the edge.
  const Telescope telescope = newtonian(Length::mm(200.0));
  const double ratio = telescope.focal_length / telescope.aperture;
  EXPECT_NEAR(coma_per_radian(telescope, telescope.back_focus)->mm(), 100.0 / (16.0 * ratio * ratio), 1e-12);
}

TEST(TiltComa, IsNotForARefractor) { EXPECT_FALSE(coma_per_radian(refractor(), refractor().back_focus).has_value()); }

}  // namespace
}  // namespace halfarc
