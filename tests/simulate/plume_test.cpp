#include "halfarc/simulate/plume.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/optics/zernike.h"

namespace halfarc {
namespace {

constexpr Length kGreen = Length::nm(540.0);

double path_waves(const LowOrders& w, double x, double y) {
  double sum = 0.0;
  for (int j = LowOrders::kFirst; j <= LowOrders::kLast; ++j) sum += w.noll(j) * zernike(j, x, y);
  return sum / kGreen.m();
}

LowOrders mean_of_many(const PlumeSpec& spec, double* mean_square = nullptr) {
  LowOrders mean;
  constexpr int seeds = 1500;
  for (std::uint64_t s = 0; s < seeds; ++s) {
    const LowOrders w = Plume(spec, kGreen, Rng(6).child("night", s)).at(Duration::s(20.0));
    for (std::size_t i = 0; i < w.rms_m.size(); ++i) mean.rms_m[i] += w.rms_m[i] / seeds;
    if (mean_square != nullptr) *mean_square += std::pow(rms_without_tilt(w) / kGreen, 2.0) / seeds;
  }
  return mean;
}

TEST(Plume, HasTheStatedStrength) {
  double mean_square = 0.0;
  mean_of_many({0.2, Duration::s(3.0), Angle()}, &mean_square);
  EXPECT_NEAR(std::sqrt(mean_square), 0.2, 0.006);
}

TEST(Plume, ShortensThePathAlongTheUpperEdge) {
  for (const double up : {0.0, 90.0, 200.0}) {
    const LowOrders w = mean_of_many({0.2, Duration::s(3.0), Angle::deg(up)});
    const PixelOffset step = step_towards(Angle::deg(up));
    const double top = path_waves(w, 0.9 * step.x, 0.9 * step.y);
    EXPECT_LT(top, path_waves(w, 0.0, 0.0) - 0.2) << up;
    EXPECT_LT(top, path_waves(w, -0.9 * step.x, -0.9 * step.y) - 0.2) << up;
    EXPECT_NEAR(path_waves(w, 0.9 * step.y, -0.9 * step.x), path_waves(w, -0.9 * step.y, 0.9 * step.x), 1e-9) << up;
  }
}

TEST(Plume, IsSlowAndBelongsToItsSeed) {
  const Plume plume({0.2, Duration::s(4.0), Angle()}, kGreen, Rng(3));
  const double now = plume.at(Duration::s(5.0)).noll(6);
  EXPECT_NEAR(plume.at(Duration::ms(5010.0)).noll(6), now, 0.3 * 0.2 * kGreen.m());
  EXPECT_EQ(Plume({0.2, Duration::s(4.0), Angle()}, kGreen, Rng(3)).at(Duration::s(5.0)).noll(6), now);
  EXPECT_TRUE(Plume({}, kGreen, Rng(3)).none());
}

}  // namespace
}  // namespace halfarc
