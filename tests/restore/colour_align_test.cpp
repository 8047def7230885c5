#include "halfarc/restore/colour_align.h"

#include <gtest/gtest.h>

#include <cmath>

#include "disc_run.h"
#include "halfarc/base/random.h"

namespace halfarc {
namespace {

using testing::DiscRun;

// A disc in another light: other brightness, a limb that darkens more, and one bright cap that the first lacks.
Plane<float> other_light(PixelOffset moved, double noise, std::uint64_t seed) {
  DiscRun run;
  Rng rng(seed);
  Plane<float> p(96, 96);
  for (int y = 0; y < 96; ++y) {
    for (int x = 0; x < 96; ++x) {
      const PixelOffset at = PixelPoint{double(x), double(y)} - PixelPoint{47.5, 47.5} - moved;
      const double r = at.length() / run.radius;
      const double darkening = 0.5 + 0.5 * std::sqrt(std::max(0.0, 1.0 - r * r));
      const double cap = 40.0 * std::exp(-0.5 * (std::pow(at.x - 4.0, 2) + std::pow(at.y + 18.0, 2)) / 6.0);
      p(x, y) = static_cast<float>(0.4 * disc_brightness(run, at, 1.6, 0) * darkening + cap + noise * rng.normal());
    }
  }
  return p;
}

Plane<float> first_light(double noise, std::uint64_t seed) {
  DiscRun run;
  Rng rng(seed);
  Plane<float> p(96, 96);
  for (int y = 0; y < 96; ++y) {
    for (int x = 0; x < 96; ++x) {
      const PixelOffset at = PixelPoint{double(x), double(y)} - PixelPoint{47.5, 47.5};
      p(x, y) = static_cast<float>(disc_brightness(run, at, 1.3, 0) + noise * rng.normal());
    }
  }
  return p;
}

TEST(ColourOffset, OfAPictureWithItselfMovedIsTheMove) {
  const Plane<float> p = first_light(1.0, 1);
  const ColourOffset found = colour_offset(spectrum_of(p), spectrum_of(moved_by(p, {1.27, -3.61})));
  ASSERT_TRUE(found.found);
  EXPECT_NEAR(found.offset.x, 1.27, 1e-3);
  EXPECT_NEAR(found.offset.y, -3.61, 1e-3);
}

// Bar of the design: planes aligned within 0.05 arcsec, a third of a usual pixel.
TEST(ColourOffset, HoldsThroughAnotherLimbAndACap) {
  const Spectrum reference = spectrum_of(first_light(0.4, 2));
  for (const PixelOffset truth : {PixelOffset{0.0, 0.0}, PixelOffset{0.4, 2.3}, PixelOffset{-1.7, -4.2}}) {
    const ColourOffset found = colour_offset(reference, spectrum_of(other_light(truth, 0.4, 3)));
    ASSERT_TRUE(found.found);
    EXPECT_NEAR(found.offset.x, truth.x, 0.25);
    EXPECT_NEAR(found.offset.y, truth.y, 0.25);
  }
}

TEST(ColourOffset, StandardErrorMatchesTheScatter) {
  const Plane<float> base = first_light(0.0, 1);
  double square = 0.0;
  double sigma = 0.0;
  const int trials = 100;
  for (int i = 0; i < trials; ++i) {
    Plane<float> a = base.copy();
    Plane<float> b = base.copy();
    Rng rng = Rng(7).child("pair", static_cast<std::uint64_t>(i));
    for (float& v : a.samples()) v += static_cast<float>(6.0 * rng.normal());
    for (float& v : b.samples()) v += static_cast<float>(6.0 * rng.normal());
    const ColourOffset found = colour_offset(spectrum_of(a), spectrum_of(b));
    ASSERT_TRUE(found.found);
    square += 0.5 * (std::pow(found.offset.x, 2) + std::pow(found.offset.y, 2)) / trials;
    sigma += 0.5 * (found.sigma.x + found.sigma.y) / trials;
  }
  EXPECT_GT(std::sqrt(square) / sigma, 0.7);
  EXPECT_LT(std::sqrt(square) / sigma, 1.4);
}

TEST(ColourOffset, SaysWhenThereIsNothingInCommon) {
  Rng rng(9);
  Plane<float> a(64, 64), b(64, 64);
  for (float& v : a.samples()) v = static_cast<float>(rng.normal());
  for (float& v : b.samples()) v = 0.0F;
  EXPECT_FALSE(colour_offset(spectrum_of(a), spectrum_of(b)).found);
}

}  // namespace
}  // namespace halfarc
