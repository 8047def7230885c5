#include "halfarc/budget/causes.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>
#include <numeric>

#include "halfarc/air/image_motion.h"
#include "halfarc/air/turbulence.h"
#include "halfarc/simulate/atmosphere.h"

namespace halfarc {
namespace {

constexpr double kPi = std::numbers::pi;
const Pupil kPupil{Length::mm(203.0), 0.34};
const Length kGreen = Length::nm(540.0);

double left(const Blur& blur) { return half_arc_contrast(blur).value; }

// sin(pi f L) / (pi f L) along the smear, nothing across it.
TEST(Causes, ASmearBlursAlongItself) {
  const Blur smear = smear_blur(Cause::spin, {Angle::arcsec(0.4), Angle::arcsec(0.1)}, Angle::deg(90.0));
  const SpatialFrequency f = kHalfArc;
  EXPECT_NEAR(smear.transfer({{}, f}), std::sin(0.4 * kPi) / (0.4 * kPi), 1e-12);
  EXPECT_NEAR(smear.transfer({f, {}}), 1.0, 1e-12);
  EXPECT_GT(half_arc_contrast(smear).sigma, 0.0);
}

// A short smear of length L is a Gaussian of variance L^2 / 12.
TEST(Causes, AShortSmearIsABlurOfItsVariance) {
  const double length = 0.15;
  const Blur smear = smear_blur(Cause::spin, {Angle::arcsec(length), {}}, {});
  EXPECT_NEAR(smear.transfer({kHalfArc, {}}), std::exp(-2.0 * kPi * kPi * length * length / 12.0), 0.001);
}

TEST(Causes, NothingOfACauseLeavesEverything) {
  EXPECT_EQ(left(tube_heat_blur(kGreen, {})), 1.0);
  EXPECT_EQ(left(smear_blur(Cause::exposure, {}, {})), 1.0);
  EXPECT_EQ(left(jitter_blur(Cause::registration, {})), 1.0);
  EXPECT_EQ(left(inside_colour_blur({})), 1.0);
  EXPECT_EQ(left(wavefront_blur(Cause::focus, kPupil, kGreen, {})), 1.0);
  EXPECT_NEAR(left(between_colours_blur({}, {1.0, 1.0, 1.0})), 1.0, 1e-12);
}

// Two equal lines 0.5" apart leave cos(pi f 0.5"): nothing of one-arcsecond detail across them.
TEST(Causes, TwoColoursHalfAPeriodApartCancel) {
  const Blur fringes =
      between_colours_blur({{{Angle::arcsec(0.25), {}}, {}, {Angle::arcsec(-0.25), {}}}}, {1.0, 0.0, 1.0});
  EXPECT_NEAR(fringes.transfer({{}, kHalfArc}), 0.0, 1e-12);
  EXPECT_NEAR(fringes.transfer({kHalfArc, {}}), 1.0, 1e-12);
}

// A seeing of fwhm F leaves exp(-3.44 (0.97586 f F)^(5/3)) [Fried1966].
TEST(Causes, TubeHeatFollowsTheLawOfMovingAir) {
  const Blur heat = tube_heat_blur(kGreen, {Angle::arcsec(0.6), Angle::arcsec(0.1)});
  const double expected = std::exp(-kStructureConstant / 2.0 * std::pow(0.6 / 0.975863, 5.0 / 3.0));
  EXPECT_NEAR(left(heat), expected, 1e-4);
}

TEST(Causes, NoiseKeepsWhatTheBestFilterKeeps) {
  EXPECT_NEAR(left(noise_blur({1.0, 0.0})), 0.5, 1e-12);
  EXPECT_NEAR(left(noise_blur({10.0, 0.0})), 100.0 / 101.0, 1e-12);
}

// 1000 electrons a pixel of 0.1", 400 frames: 25 pixels hold 1e7 electrons, whose noise is 3162; detail of a tenth, of
// which 0.3 is left, is 3e5 of them.
TEST(Causes, DetailStandsOutOfNoiseByCounting) {
  EXPECT_NEAR(detail_signal_to_noise(0.1, 0.3, 1000.0, 0.0, 400.0, Angle::arcsec(0.1)), 94.87, 0.01);
  EXPECT_NEAR(detail_signal_to_noise(0.1, 0.3, 1000.0, 30.0, 400.0, Angle::arcsec(0.1)), 94.87 / std::sqrt(1.9), 0.01);
  EXPECT_EQ(detail_signal_to_noise(0.1, 0.3, 0.0, 0.0, 400.0, Angle::arcsec(0.1)), 0.0);
}

// Against the phase screens: the mean slope over an open pupil, by differences, at sixteen moments of each exposure.
TEST(Causes, WanderInAnExposureIsThatOfThePhaseScreens) {
  AirSpec spec;
  spec.turbulence = {Length::cm(8.0), kSeeingWavelength, Length::m(25.0)};
  spec.layers = {{1.0, Speed::m_per_s(9.0), Angle::deg(0.0), Length::m(0.0)}};
  const Pupil open{Length::mm(203.0), 0.0};
  const Duration exposure = Duration::ms(12.0);
  constexpr int kCells = 16, kMoments = 16;
  const Length step = open.diameter / (2.0 * kCells);
  std::array<std::vector<PupilPoint>, 4> beside;  // right, left, below and above the middle of each cell
  for (int j = 0; j < kCells; ++j) {
    for (int i = 0; i < kCells; ++i) {
      const double x = (2.0 * i + 1.0) / kCells - 1.0, y = (2.0 * j + 1.0) / kCells - 1.0;
      if (x * x + y * y > 1.0) continue;
      const Length px = open.diameter * (0.5 * x), py = open.diameter * (0.5 * y);
      beside[0].push_back({px + step, py});
      beside[1].push_back({px - step, py});
      beside[2].push_back({px, py + step});
      beside[3].push_back({px, py - step});
    }
  }
  double wander = 0.0;
  int frames = 0;
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    const Atmosphere air(spec, open, Duration::s(20.0), Rng(seed));
    const auto mean_path = [&](std::size_t side, Duration at) {
      std::vector<float> opd(beside[side].size());
      air.add_path(beside[side], at, {}, opd);
      return std::accumulate(opd.begin(), opd.end(), 0.0) / static_cast<double>(opd.size());
    };
    for (int frame = 0; frame < 60; ++frame, ++frames) {
      double sum_x = 0.0, sum_y = 0.0, squares = 0.0;
      for (int m = 0; m < kMoments; ++m) {
        const Duration at = Duration::s(0.3 * frame) + exposure * ((m + 0.5) / kMoments);
        const double x = (mean_path(0, at) - mean_path(1, at)) / (2.0 * step.m());
        const double y = (mean_path(2, at) - mean_path(3, at)) / (2.0 * step.m());
        sum_x += x;
        sum_y += y;
        squares += x * x + y * y;
      }
      wander += 0.5 * (squares - (sum_x * sum_x + sum_y * sum_y) / kMoments) / kMoments;
    }
  }
  const Angle measured = Angle::rad(std::sqrt(wander / frames));
  const Angle predicted = smearing_motion_rms(spec.turbulence, open.diameter, exposure, Speed::m_per_s(9.0));
  EXPECT_NEAR(measured / predicted, 1.0, 0.06) << measured.arcsec() << " " << predicted.arcsec();
}

}  // namespace
}  // namespace halfarc
