#include "halfarc/measure/blurred_disc.h"

#include <gtest/gtest.h>

#include <cmath>

#include "discs.h"

namespace halfarc {
namespace {

// The definition summed on a fine grid (tests/measure/discs.h), read at the pixels of the row through the centre.
TEST(BlurredDisc, IsTheDefinition) {
  for (const double radius : {3.0, 11.0, 20.0}) {
    for (const double sigma : {1.0, 2.5}) {
      for (const double darkening : {0.0, 1.0}) {
        test::DrawnDisc d;
        d.x = 32.0;
        d.y = 32.0;
        d.diameter = 2.0 * radius;
        d.darkening = darkening;
        d.level = 1.0;
        d.blur = std::sqrt(sigma * sigma - 1.0 / 12.0);  // the drawn pixel is a box of variance 1/12
        const auto drawn = test::draw(d, 65, 65, 8);
        const BlurredDisc disc(radius, sigma);
        for (int x = 32; x < 62; ++x) {
          const auto v = disc.at(x - 32.0);
          EXPECT_NEAR(darkening == 0.0 ? v.flat : v.domed, drawn[static_cast<std::size_t>(32 * 65 + x)], 6e-3)
              << radius << " " << sigma << " " << x;
        }
      }
    }
  }
}

TEST(BlurredDisc, DerivativesAreDifferences) {
  const double h = 0.02;
  for (const auto& [radius, sigma] : {std::pair{4.0, 2.0}, {30.0, 2.0}, {200.0, 1.5}, {6.0, 6.0}}) {
    const BlurredDisc disc(radius, sigma), wider(radius + h, sigma), narrower(radius - h, sigma),
        softer(radius, sigma + h), sharper(radius, sigma - h);
    for (double r = 0.05; r < radius + 3.0 * sigma; r += 0.37 * sigma) {
      const auto v = disc.at(r);
      EXPECT_NEAR(v.flat_radius, (wider.at(r).flat - narrower.at(r).flat) / (2 * h), 4e-3 / sigma)
          << radius << " " << r;
      EXPECT_NEAR(v.domed_radius, (wider.at(r).domed - narrower.at(r).domed) / (2 * h), 4e-3 / sigma);
      EXPECT_NEAR(v.flat_sigma, (softer.at(r).flat - sharper.at(r).flat) / (2 * h), 4e-3 / sigma);
      EXPECT_NEAR(v.domed_sigma, (softer.at(r).domed - sharper.at(r).domed) / (2 * h), 4e-3 / sigma);
      EXPECT_NEAR(v.flat_r, (disc.at(r + h).flat - disc.at(r - h).flat) / (2 * h), 4e-3 / sigma);
    }
  }
}

// Far inside a large disc the blur changes nothing; far outside there is nothing; the light of the disc is kept.
TEST(BlurredDisc, KeepsTheLight) {
  const BlurredDisc disc(12.0, 2.0);
  EXPECT_NEAR(disc.at(0.0).flat, 1.0, 1e-6);
  EXPECT_EQ(disc.at(12.0 + 13.0).flat, 0.0);
  double flat = 0.0, domed = 0.0;
  const double h = 0.01;
  for (double r = 0.5 * h; r < 25.0; r += h) {
    flat += 2.0 * M_PI * r * h * disc.at(r).flat;
    domed += 2.0 * M_PI * r * h * disc.at(r).domed;
  }
  EXPECT_NEAR(flat, M_PI * 144.0, 1e-4 * flat);
  EXPECT_NEAR(domed, 2.0 / 3.0 * M_PI * 144.0, 1e-4 * domed);
}

}  // namespace
}  // namespace halfarc
