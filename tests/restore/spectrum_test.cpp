#include "halfarc/restore/spectrum.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

TEST(Spectrum, ThereAndBack) {
  for (const auto& [w, h] : {std::pair{24, 18}, std::pair{25, 17}, std::pair{8, 1}}) {
    Rng rng(1);
    Plane<float> p(w, h);
    for (float& v : p.samples()) v = static_cast<float>(rng.normal());
    const Plane<float> back = picture_of(spectrum_of(p));
    for (std::size_t i = 0; i < p.count(); ++i) EXPECT_NEAR(back.samples()[i], p.samples()[i], 1e-5F);
  }
}

TEST(MovedBy, WholePixelsCarryOneBrightPixel) {
  for (const auto& [w, h] : {std::pair{16, 12}, std::pair{15, 13}}) {
    Plane<float> p(w, h);
    p(5, 4) = 1.0F;
    const Plane<float> moved = moved_by(p, {3.0, -2.0});
    EXPECT_NEAR(moved(8, 2), 1.0F, 1e-5F);
    EXPECT_NEAR(moved(5, 4), 0.0F, 1e-5F);
  }
}

// A Gaussian has a closed form at any place.
TEST(MovedBy, PartsOfAPixelFollowTheClosedForm) {
  const auto bump = [](int w, int h, double cx, double cy) {
    Plane<float> p(w, h);
    for (int y = 0; y < h; ++y) {
      for (int x = 0; x < w; ++x)
        p(x, y) = static_cast<float>(std::exp(-0.5 * (std::pow(x - cx, 2) + std::pow(y - cy, 2)) / 4.0));
    }
    return p;
  };
  for (const auto& [w, h] : {std::pair{40, 36}, std::pair{41, 37}}) {
    const Plane<float> moved = moved_by(bump(w, h, 18.0, 17.0), {1.37, -0.58});
    const Plane<float> expected = bump(w, h, 19.37, 16.42);
    for (std::size_t i = 0; i < moved.count(); ++i) EXPECT_NEAR(moved.samples()[i], expected.samples()[i], 2e-5F);
  }
}

TEST(Rings, CountEveryFourierValueOnce) {
  for (const auto& [w, h] : {std::pair{32, 32}, std::pair{31, 20}, std::pair{20, 33}}) {
    const Rings rings(w, h);
    const double all = std::accumulate(rings.population().begin(), rings.population().end(), 0.0);
    EXPECT_DOUBLE_EQ(all, static_cast<double>(w) * h);
    EXPECT_DOUBLE_EQ(rings.population()[0], 1.0);
  }
}

}  // namespace
}  // namespace halfarc
