#include "halfarc/restore/smooth.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

TEST(GaussianSmooth, KeepsLightAndWidensBySigma) {
  Plane<float> p(61, 61);
  p(30, 30) = 1000.0F;
  const Plane<float> s = gaussian_smooth(p, 3.0);
  double sum = 0.0;
  double second = 0.0;
  for (int y = 0; y < 61; ++y) {
    for (int x = 0; x < 61; ++x) {
      sum += static_cast<double>(s(x, y));
      second += static_cast<double>(s(x, y)) * (x - 30) * (x - 30);
    }
  }
  EXPECT_NEAR(sum, 1000.0, 0.05);
  EXPECT_NEAR(std::sqrt(second / sum), 3.0, 0.01);
}

TEST(GaussianSmooth, MirrorsAtTheBorders) {
  Plane<float> p(20, 20);
  for (float& v : p.samples()) v = 5.0F;
  const Plane<float> smooth = gaussian_smooth(p, 4.0);
  for (const float v : smooth.samples()) EXPECT_NEAR(v, 5.0F, 1e-4F);
}

TEST(FineDetail, AndTheSmoothCopyAddUpToThePicture) {
  Plane<float> p(33, 21);
  for (int y = 0; y < 21; ++y) {
    for (int x = 0; x < 33; ++x) p(x, y) = static_cast<float>(x * x - 7 * y + (x * y) % 5);
  }
  const Plane<float> smooth = gaussian_smooth(p, 2.0);
  const Plane<float> fine = fine_detail(p, 2.0);
  for (std::size_t i = 0; i < p.count(); ++i) {
    EXPECT_NEAR(smooth.samples()[i] + fine.samples()[i], p.samples()[i], 1e-3F);
  }
}

}  // namespace
}  // namespace halfarc
