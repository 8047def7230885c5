#include "halfarc/restore/register.h"

#include <gtest/gtest.h>

#include <cmath>

#include "disc_run.h"
#include "halfarc/base/random.h"

namespace halfarc {
namespace {

using testing::DiscRun;

Plane<float> disc(int width, int height, PixelPoint centre, double blur) {
  DiscRun run;
  Plane<float> p(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      p(x, y) = static_cast<float>(disc_brightness(run, PixelPoint{double(x), double(y)} - centre, blur, 0));
    }
  }
  return p;
}

// Recipe of a general-purpose library's own test [skimage, test_phase_cross_correlation.py]: a picture moved in Fourier
// space by (-2.4, 1.32) is found again to 0.01 pixel; a whole-pixel move exactly.
TEST(PublishedRegistration, FindsAFourierShift) {
  Rng rng(1);
  Plane<float> picture(128, 96);
  for (float& v : picture.samples()) v = 100.0F + 10.0F * static_cast<float>(rng.normal());
  const Reference reference(picture);
  for (const PixelOffset truth : {PixelOffset{-2.4, 1.32}, PixelOffset{-7.0, 12.0}, PixelOffset{0.5, -0.5}}) {
    const Registration found = reference.find(spectrum_of(moved_by(picture, truth)), {}, 16.0);
    EXPECT_NEAR(found.shift.x, truth.x, 2e-3);
    EXPECT_NEAR(found.shift.y, truth.y, 2e-3);
    EXPECT_NEAR(found.likeness, 1.0, 1e-3);
  }
}

// Analytic discs at known places need no Fourier shift: the half-pixel conventions are tested too, odd and even sizes.
TEST(Registration, AgreesWithAnalyticPlacesInOddAndEvenSizes) {
  for (const auto& [w, h] : {std::pair{96, 96}, std::pair{95, 97}, std::pair{90, 81}}) {
    const PixelPoint middle = {centre_of(w), centre_of(h)};
    const Reference reference(disc(w, h, middle, 1.2));
    const PixelOffset truth = {3.37, -2.61};
    const Registration found = reference.find(spectrum_of(disc(w, h, middle + truth, 1.2)), {}, 8.0);
    EXPECT_NEAR(found.shift.x, truth.x, 0.003) << w;
    EXPECT_NEAR(found.shift.y, truth.y, 0.003) << h;
  }
}

TEST(Registration, BlurredFramesAreLessAlike) {
  const PixelPoint middle = {47.5, 47.5};
  const Reference reference(disc(96, 96, middle, 1.0));
  double before = 2.0;
  for (const double blur : {1.0, 1.4, 2.0, 3.0}) {
    const double likeness = reference.find(spectrum_of(disc(96, 96, middle, blur)), {}, 4.0).likeness;
    EXPECT_LT(likeness, before) << blur;
    before = likeness;
  }
}

// Cramer-Rao bound for one noisy picture against a known one [Robinson2004]: inverse of
// J = 1/sigma^2 sum [Ix^2 IxIy; IxIy Iy^2]. The bar is an error of at most 1.5 times the bound.
TEST(PublishedRegistration, ComesNearTheCramerRaoBound) {
  const PixelPoint middle = {47.5, 47.5};
  const Plane<float> clean = disc(96, 96, middle, 1.5);
  const double sigma = 12.0;
  double xx = 0.0, xy = 0.0, yy = 0.0;
  for (int y = 1; y < 95; ++y) {
    for (int x = 1; x < 95; ++x) {
      const double ix = 0.5 * static_cast<double>(clean(x + 1, y) - clean(x - 1, y));
      const double iy = 0.5 * static_cast<double>(clean(x, y + 1) - clean(x, y - 1));
      xx += ix * ix / (sigma * sigma);
      xy += ix * iy / (sigma * sigma);
      yy += iy * iy / (sigma * sigma);
    }
  }
  const double bound = std::sqrt(yy / (xx * yy - xy * xy));
  const Reference reference(clean);
  double square = 0.0;
  const int trials = 200;
  for (int i = 0; i < trials; ++i) {
    Rng rng = Rng(5).child("trial", static_cast<std::uint64_t>(i));
    Plane<float> frame = clean.copy();
    for (float& v : frame.samples()) v += static_cast<float>(sigma * rng.normal());
    square += std::pow(reference.find(spectrum_of(frame), {}, 4.0).shift.x, 2);
  }
  const double error = std::sqrt(square / trials);
  EXPECT_LT(error, 1.5 * bound);
  EXPECT_GT(error, 0.8 * bound);  // nothing beats the bound
}

}  // namespace
}  // namespace halfarc
