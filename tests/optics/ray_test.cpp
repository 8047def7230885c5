// Rays through flat faces, against least time, against textbook angles and against running back.
#include "halfarc/optics/ray.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "halfarc/base/angle.h"

namespace halfarc {
namespace {

Direction towards(double x, double y, double z) {
  const double length = std::hypot(x, y, z);
  return {x / length, y / length, z / length};
}

double distance(BenchPoint a, BenchPoint b) { return std::hypot((a.x - b.x).m(), (a.y - b.y).m(), (a.z - b.z).m()); }

TEST(Refraction, KeepsIndexTimesSineAndThePlaneOfIncidence) {
  const Direction normal = towards(0.1, -0.3, 1.0);
  const Direction in = towards(0.4, 0.2, 0.8);
  for (const double behind : {0.9, 1.0, 1.5, 2.4}) {
    const auto out = refract(in, normal, 1.2, behind);
    ASSERT_TRUE(out.has_value());
    EXPECT_NEAR(dot(*out, *out), 1.0, 1e-14);
    const double sine_in = std::sqrt(1.0 - std::pow(dot(in, normal), 2));
    const double sine_out = std::sqrt(1.0 - std::pow(dot(*out, normal), 2));
    EXPECT_NEAR(1.2 * sine_in, behind * sine_out, 1e-14);
    const double out_of_plane = out->x * (in.y * normal.z - in.z * normal.y) +
                                out->y * (in.z * normal.x - in.x * normal.z) +
                                out->z * (in.x * normal.y - in.y * normal.x);
    EXPECT_NEAR(out_of_plane, 0.0, 1e-15);
  }
}

TEST(Refraction, ANormalOfEitherSenseIsTheSameFace) {
  const Direction in = towards(0.4, 0.2, 0.8);
  const auto one = refract(in, {0.0, 0.6, 0.8}, 1.0, 1.5);
  const auto other = refract(in, {0.0, -0.6, -0.8}, 1.0, 1.5);
  EXPECT_NEAR(one->x, other->x, 1e-15);
  EXPECT_NEAR(one->y, other->y, 1e-15);
  EXPECT_NEAR(one->z, other->z, 1e-15);
}

// The critical angle of n = 1.5 to air is asin(1 / 1.5) = 41.81 deg.
TEST(Refraction, BeyondTheCriticalAngleLightIsThrownBack) {
  const auto at = [](double deg) {
    return Direction{std::sin(deg * Angle::kRadPerDeg), 0.0, std::cos(deg * Angle::kRadPerDeg)};
  };
  EXPECT_TRUE(refract(at(41.80), {}, 1.5, 1.0).has_value());
  EXPECT_FALSE(refract(at(41.82), {}, 1.5, 1.0).has_value());
  const std::array<FlatFace, 1> face = {FlatFace{{}, {}, 1.0}};
  EXPECT_FALSE(trace(Ray{{}, at(50.0), 1.5, {}}, face).has_value());
}

// Fermat: between two points the light takes the path of least time, found here by minimising over where the path
// meets the two slanted faces, with no law of refraction in it.
TEST(Ray, TakesTheWayOfLeastTimeThroughAPrism) {
  const Direction second_normal = towards(0.15, 0.05, 1.0);
  const std::array<FlatFace, 2> faces = {FlatFace{{}, towards(-0.1, 0.2, 1.0), 1.6},
                                         FlatFace{{{}, {}, Length::mm(8.0)}, second_normal, 1.0}};
  const Ray start{{Length::mm(1.0), Length::mm(-2.0), Length::mm(-20.0)}, towards(0.1, 0.15, 1.0), 1.0, {}};
  const auto behind = trace(start, faces);
  ASSERT_TRUE(behind.has_value());
  const Ray end = carried_to(*behind, Length::mm(30.0));

  const auto on_face = [&](const FlatFace& face, double x, double y) {
    const Length px = Length::m(x);
    const Length py = Length::m(y);
    return BenchPoint{
        px, py, face.at.z - ((px - face.at.x) * face.normal.x + (py - face.at.y) * face.normal.y) / face.normal.z};
  };
  const auto time = [&](const std::array<double, 4>& q) {
    const BenchPoint a = on_face(faces[0], q[0], q[1]);
    const BenchPoint b = on_face(faces[1], q[2], q[3]);
    return distance(start.at, a) + 1.6 * distance(a, b) + distance(b, end.at);
  };
  std::array<double, 4> q = {0.0, 0.0, 0.0, 0.0};
  for (double step = 4e-3; step > 1e-10;) {  // pattern search along each coordinate
    bool better = false;
    for (double& coordinate : q) {
      for (const double move : {step, -step}) {
        const double before = time(q);
        coordinate += move;
        if (time(q) < before) {
          better = true;
        } else {
          coordinate -= move;
        }
      }
    }
    if (!better) step *= 0.5;
  }
  EXPECT_NEAR(end.optical_path.m(), time(q), 1e-15);
  const auto first = cross(start, faces[0]);
  EXPECT_NEAR(first->at.x.m(), q[0], 2e-8);  // a minimum is flat: its place is known to the root of the rounding
  EXPECT_NEAR(first->at.y.m(), q[1], 2e-8);
}

TEST(Ray, RunBackComesHome) {
  const std::array<FlatFace, 1> in = {FlatFace{{}, towards(0.2, 0.1, 1.0), 1.5}};
  const Ray start{{Length::mm(1.0), {}, Length::mm(-5.0)}, towards(-0.1, 0.3, 1.0), 1.0, {}};
  Ray back = *trace(start, in);
  back.along = {-back.along.x, -back.along.y, -back.along.z};
  const std::array<FlatFace, 1> out = {FlatFace{{}, towards(0.2, 0.1, 1.0), 1.0}};
  const Ray home = carried_to(*trace(carried_to(back, Length::mm(9.0)), out), Length::mm(-5.0));
  EXPECT_NEAR(distance(home.at, start.at), 0.0, 1e-16);
  EXPECT_NEAR(home.along.x, -start.along.x, 1e-15);
  EXPECT_NEAR(home.along.y, -start.along.y, 1e-15);
}

// All rays of a sphere that closes on a point are as long when carried to that point, wherever they start from it.
TEST(Ray, TheWavefrontOfASphereIsLevelAboutItsCentre) {
  const BenchPoint focus{Length::mm(1.0), Length::mm(2.0), Length::mm(80.0)};
  for (const double slope : {-0.2, 0.0, 0.07}) {
    const Direction along = towards(slope, 0.03, 1.0);
    const Length back = Length::mm(-100.0);
    const Ray ray{{focus.x + back * along.x, focus.y + back * along.y, focus.z + back * along.z}, along, 1.0, {}};
    EXPECT_NEAR(carried_nearest(ray, focus).optical_path.mm(), 100.0, 1e-12);
  }
}

}  // namespace
}  // namespace halfarc
