#include "halfarc/optics/sampling.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace halfarc {
namespace {

constexpr Length kPixel = Length::um(3.45);
constexpr Length kGreen = Length::nm(540.0);

// A second route: two frequencies cannot be told apart on the sites when they differ by one that is a whole number of
// turns at every site. Half the least such difference is the bound that holds in every direction.
double brute_force_nyquist(int sites) {
  double least = 2.0;
  for (int u = -8; u <= 8; ++u) {
    for (int v = -8; v <= 8; ++v) {
      if (u == 0 && v == 0) continue;
      const double fx = u / 8.0;
      const double fy = v / 8.0;
      bool same = true;
      for (int x = 0; x < 8 && same; ++x) {
        for (int y = 0; y < 8 && same; ++y) {
          const bool site = sites == 0 || (sites == 1 && (x + y) % 2 == 0) || (x % 2 == 0 && y % 2 == 0);
          if (site) same = std::abs(std::remainder(fx * x + fy * y, 1.0)) < 1e-9;
        }
      }
      if (same) least = std::min(least, std::hypot(fx, fy));
    }
  }
  return 0.5 * least;
}

TEST(Sampling, BoundOfEachKindOfSites) {
  EXPECT_NEAR(sampling(kPixel, Sites::every, kGreen, 20.0).nyquist, brute_force_nyquist(0), 1e-12);
  EXPECT_NEAR(sampling(kPixel, Sites::diagonal, kGreen, 20.0).nyquist, brute_force_nyquist(1), 1e-12);
  EXPECT_NEAR(sampling(kPixel, Sites::every_second, kGreen, 20.0).nyquist, brute_force_nyquist(2), 1e-12);
}

TEST(Sampling, CriticalFocalRatioJustHoldsEverything) {
  for (const Sites sites : {Sites::every, Sites::diagonal, Sites::every_second}) {
    const double critical = critical_focal_ratio(kPixel, sites, kGreen);
    EXPECT_TRUE(sampling(kPixel, sites, kGreen, critical * 1.001).holds_everything);
    EXPECT_FALSE(sampling(kPixel, sites, kGreen, critical * 0.999).holds_everything);
  }
  EXPECT_NEAR(sampling(kPixel, Sites::every, kGreen, 20.0).pixels_per_resolution, 0.54 * 20.0 / 3.45, 1e-12);
}

// f/10 with 3.45 um: an amplifier of 2 lies in the useful range, none at all does not.
TEST(Sampling, TwofoldAmplifierSuitsSmallPixelsAtTen) {
  const AmplificationRange range = useful_amplification(kPixel, {Length::nm(620.0), kGreen, Length::nm(460.0)}, 10.0);
  EXPECT_NEAR(range.least, 2.0 * 3.45 / 0.46 / 10.0, 1e-12);
  EXPECT_NEAR(range.most, 4.0 * 3.45 / 0.46 / 10.0, 1e-12);
  EXPECT_LT(range.least, 2.0);
  EXPECT_GT(range.most, 2.0);
}

}  // namespace
}  // namespace halfarc
