#include "halfarc/restore/probe.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "halfarc/restore/spectrum.h"
#include "shimmering_scene.h"

namespace halfarc {
namespace {

using testing::frame_of;
using testing::kSceneSize;
using testing::Waves;

constexpr int kSpacing = 24;
const Waves kStill(Rng(1), 0.0, 100.0);

Plane<float> scene(double width, double noise = 0.0, std::uint64_t seed = 2) {
  return frame_of(testing::spots(5), kStill, width, noise, Rng(seed));
}

TEST(Probes, ReadASmallShiftAlongTheirDirections) {
  const Plane<float> reference = scene(4.5);
  const std::vector<Probe> probes = place_probes(reference, kSpacing, 60);
  ASSERT_EQ(probes.size(), 60U);
  const PixelOffset shift{0.3, -0.2};
  const Plane<float> moved = moved_by(reference, shift);
  for (const Probe& probe : probes) {
    EXPECT_NEAR(probe.direction.length(), 1.0, 1e-9);
    const double along = probe.direction.x * shift.x + probe.direction.y * shift.y;
    EXPECT_NEAR(static_cast<double>(reading(probe, moved)), along, 0.06) << probe.place.x << " " << probe.place.y;
  }
}

TEST(Probes, DoNotFeelLightSkyOrSharpness) {
  const Plane<float> reference = scene(4.5);
  Plane<float> other = scene(4.7);
  for (float& v : other.samples()) v = 1.3F * v + 25.0F;
  for (const Probe& probe : place_probes(reference, kSpacing, 40)) {
    EXPECT_NEAR(static_cast<double>(reading(probe, other)), 0.0, 0.03);
  }
}

TEST(Probes, AStepTakesWholePixelsOff) {
  const Plane<float> reference = scene(4.5);
  const std::vector<Probe> probes = place_probes(reference, kSpacing, 40);
  const Plane<float> moved = moved_by(reference, {3.2, -4.1});
  for (const Probe& probe : probes) {
    if (std::abs(probe.place.x - 120.0) > 80.0 || std::abs(probe.place.y - 120.0) > 80.0) continue;
    const double along = probe.direction.x * 0.2 - probe.direction.y * 0.1;
    EXPECT_NEAR(static_cast<double>(reading(probe, moved, {3, -4})), along, 0.04);
  }
}

TEST(Probes, TheResponseTellsSofterFromSharper) {
  const std::vector<Probe> probes = place_probes(scene(4.5), kSpacing, 200);
  // A little above 1: the templates see the reference slightly smoothed.
  EXPECT_NEAR(static_cast<double>(response(probes, scene(4.5))), 1.05, 0.05);
  EXPECT_LT(response(probes, scene(5.5)), 0.85F);
  EXPECT_GT(response(probes, scene(4.0)), 1.1F);
  EXPECT_EQ(response({}, scene(4.5)), 1.0F);
}

TEST(Probes, TheirNoiseIsWhatTheyScatterBy) {
  // Photon noise on a ground that is the same all over: every sample has the variance of its brightness.
  const std::vector<Probe> probes = place_probes(scene(4.5), kSpacing, 60);
  constexpr int frames = 300;
  double squares = 0.0;
  for (int f = 0; f < frames; ++f) {
    Rng rng = Rng(11).child("frame", static_cast<std::uint64_t>(f));
    Plane<float> noise(kSceneSize, kSceneSize);
    for (float& v : noise.samples()) v = static_cast<float>(std::sqrt(200.0) * rng.normal());
    for (const Probe& probe : probes) squares += std::pow(static_cast<double>(reading(probe, noise)), 2) / probe.noise;
  }
  EXPECT_NEAR(squares / (frames * static_cast<double>(probes.size())), 1.0, 0.1);
}

TEST(Probes, OverlappingOnesShareTheirNoise) {
  const std::vector<Probe> probes = place_probes(scene(4.5), kSpacing, 60);
  EXPECT_NEAR(shared_noise(probes[0], probes[0]), probes[0].noise, 1e-6 * probes[0].noise);
  for (const Probe& other : probes) {
    const PixelOffset apart = other.place - probes[0].place;
    if (std::max(std::abs(apart.x), std::abs(apart.y)) >= 2.0 * kSpacing) {
      EXPECT_EQ(shared_noise(probes[0], other), 0.0);
    }
  }
}

TEST(Probes, AnEdgeIsReadAcrossOnly) {
  Plane<float> edge(96, 96);
  for (int y = 0; y < 96; ++y) {
    for (int x = 0; x < 96; ++x) edge(x, y) = static_cast<float>(50.0 + 50.0 * std::tanh((x - 48.3) / 4.0));
  }
  const std::vector<Probe> probes = place_probes(edge, kSpacing, 100);
  ASSERT_FALSE(probes.empty());
  for (const Probe& probe : probes) EXPECT_GT(std::abs(probe.direction.x), 0.99);
}

TEST(Probes, NothingToSeeGivesNone) {
  Plane<float> flat(120, 120);
  for (float& v : flat.samples()) v = 100.0F;
  EXPECT_TRUE(place_probes(flat, kSpacing, 100).empty());
  EXPECT_TRUE(place_probes(Plane<float>(40, 40), kSpacing, 100).empty());
}

}  // namespace
}  // namespace halfarc
