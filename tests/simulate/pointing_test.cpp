#include "halfarc/simulate/pointing.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <complex>
#include <numbers>

namespace halfarc {
namespace {

using std::numbers::pi;

constexpr SkyOffset kThree{Angle::arcsec(3.0), Angle::arcsec(-1.5)};

TEST(Pointing, PeriodicErrorComesRoundAgain) {
  const PeriodicError worm{kThree, Duration::s(200.0), 0.25};
  EXPECT_NEAR(periodic_error_at(worm, Duration::s(0.0)).x.arcsec(), 3.0, 1e-12);
  EXPECT_NEAR(periodic_error_at(worm, Duration::s(100.0)).x.arcsec(), -3.0, 1e-12);
  EXPECT_NEAR(periodic_error_at(worm, Duration::s(200.0)).y.arcsec(), -1.5, 1e-12);
}

TEST(Pointing, AKeyMovesTheImageWhileItIsPressed) {
  const KeyPress press{Duration::s(10.0), Duration::s(2.0), kThree};
  EXPECT_EQ(key_press_at(press, Duration::s(9.9)).x.arcsec(), 0.0);
  EXPECT_NEAR(key_press_at(press, Duration::s(11.0)).x.arcsec(), 1.5, 1e-12);
  EXPECT_NEAR(key_press_at(press, Duration::s(60.0)).y.arcsec(), -1.5, 1e-12);
}

TEST(Pointing, ANudgePeaksRingsAndSettles) {
  const Nudge nudge{Duration::s(1.0), kThree, 4.0, Duration::s(0.5)};
  double highest = 0.0;
  for (int i = 0; i < 4000; ++i) highest = std::max(highest, nudge_at(nudge, Duration::ms(1000.0 + i)).x.arcsec());
  EXPECT_NEAR(highest, 3.0, 1e-3);
  EXPECT_EQ(nudge_at(nudge, Duration::s(1.0)).x.arcsec(), 0.0);
  // One whole swing later it has faded by exp(-0.25 / 0.5).
  const double first = nudge_at(nudge, Duration::s(1.05)).x.arcsec();
  EXPECT_NEAR(nudge_at(nudge, Duration::s(1.30)).x.arcsec() / first, std::exp(-0.5), 1e-9);
  EXPECT_LT(std::abs(nudge_at(nudge, Duration::s(6.0)).x.arcsec()), 1e-3);
}

// The mean periodogram of many draws, against the stated spectrum, at three frequencies about the resonance.
TEST(Pointing, WindShakesWithItsSpectrum) {
  Pointing pointing;
  pointing.wind.rms = {Angle::arcsec(1.0), Angle::arcsec(0.4)};
  pointing.wind.quality = 3.0;
  constexpr int seeds = 400;
  constexpr int n = 200;  // 8 s of 25 a second
  const std::array<double, 3> frequencies{2.0, 5.0, 6.5};
  std::array<double, 3> power{};
  double square_x = 0.0;
  double square_y = 0.0;
  for (std::uint64_t s = 0; s < seeds; ++s) {
    const PointingPath path(pointing, Rng(3).child("path", s));
    std::array<std::complex<double>, 3> sums{};
    for (int i = 0; i < n; ++i) {
      const double t = i / 25.0;
      const SkyOffset o = path.at(Duration::s(t));
      square_x += o.x.arcsec() * o.x.arcsec() / (seeds * n);
      square_y += o.y.arcsec() * o.y.arcsec() / (seeds * n);
      const double window = 1.0 - std::cos(2.0 * pi * i / n);
      for (std::size_t k = 0; k < 3; ++k) sums[k] += std::polar(o.x.arcsec() * window, 2.0 * pi * frequencies[k] * t);
    }
    for (std::size_t k = 0; k < 3; ++k) power[k] += std::norm(sums[k]) / seeds;
  }
  EXPECT_NEAR(square_x, 1.0, 0.06);
  EXPECT_NEAR(square_y, 0.16, 0.01);
  // Each power has a relative error of 1/sqrt(seeds) = 5 %, a ratio 7 %.
  for (const std::size_t k : {std::size_t{0}, std::size_t{2}}) {
    const double wanted = shake_power(pointing.wind, frequencies[k]) / shake_power(pointing.wind, 5.0);
    EXPECT_NEAR(power[k] / power[1] / wanted, 1.0, 0.25) << frequencies[k];
  }
}

TEST(Pointing, StillUnlessSomethingMovesIt) {
  Pointing pointing;
  pointing.drift_per_second = kThree;
  EXPECT_TRUE(PointingPath(pointing, Rng(1)).still());
  pointing.nudges.push_back({Duration::s(1.0), kThree});
  EXPECT_FALSE(PointingPath(pointing, Rng(1)).still());
}

}  // namespace
}  // namespace halfarc
