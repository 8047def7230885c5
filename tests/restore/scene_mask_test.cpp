#include "halfarc/restore/scene_mask.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

Plane<float> disc(double radius, float sky) {
  Rng rng(1);
  Plane<float> p(120, 100);
  for (int y = 0; y < 100; ++y) {
    for (int x = 0; x < 120; ++x) {
      const double r = std::hypot(x - 62.0, y - 48.0);
      p(x, y) = sky + static_cast<float>(100.0 * 0.5 * std::erfc((r - radius) / 2.0) + rng.normal());
    }
  }
  return p;
}

TEST(SceneMask, CoversADiscAndFadesInwards) {
  const MaskedScene scene = scene_mask(disc(30.0, 12.0F), 10.0);
  EXPECT_NEAR(scene.sky, 12.0F, 1.0F);
  // A quarter of the height lies about 1.5 pixels outside the middle of this soft limb.
  EXPECT_NEAR(scene.filled, std::numbers::pi * 31.5 * 31.5 / 12000.0, 0.01);
  EXPECT_GT(scene.mask(62, 48), 0.99F);
  EXPECT_EQ(scene.mask(62 + 34, 48), 0.0F);
  EXPECT_LT(scene.mask(62 + 29, 48), 0.4F);
  EXPECT_GT(scene.mask(62 + 20, 48), 0.9F);
}

TEST(SceneMask, ASurfaceThatFillsThePictureFadesOnlyAtTheBorders) {
  Rng rng(2);
  Plane<float> p(80, 60);
  for (float& v : p.samples()) v = 150.0F + 20.0F * static_cast<float>(rng.normal());
  const MaskedScene scene = scene_mask(p, 10.0);
  EXPECT_EQ(scene.sky, 0.0F);
  EXPECT_GT(scene.filled, 0.85);
  EXPECT_GT(scene.mask(40, 30), 0.99F);
}

}  // namespace
}  // namespace halfarc
