#include "halfarc/advise/gain.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "halfarc/base/random.h"
#include "halfarc/optics/wavefront.h"

namespace halfarc {
namespace {

const Pupil pupil{Length::mm(203.0), 0.34};
const Length green = Length::nm(540.0);

TEST(Gain, CurvesFallFromOneAndFollowTheOptics) {
  const ContrastCurve curve = coma_curve(pupil, green);
  EXPECT_NEAR(curve.at(0.0), 1.0, 1e-9);
  for (std::size_t i = 1; i < curve.contrast.size(); ++i) EXPECT_LE(curve.contrast[i], curve.contrast[i - 1]);
  Wavefront coma;
  coma.coma_y = 0.42;
  coma.wavelength = green;
  EXPECT_NEAR(curve.at(0.42), contrast_left(coma, pupil, green, kHalfArc), 0.01);
  Wavefront defocus;
  defocus.defocus = 0.2;
  defocus.wavelength = green;
  EXPECT_NEAR(defocus_curve(pupil, green).at(0.2), contrast_left(defocus, pupil, green, kHalfArc), 0.01);
}

TEST(Gain, OfWhatIsKnownIsTheRatioOfTheContrasts) {
  const ContrastCurve curve{{0.0, 1.0}, {1.0, 0.5}};
  const Measured<double> gain = expected_gain(curve, {{0.6, 0.0, 0.0, 0.2}, {}});
  EXPECT_NEAR(gain.value, 0.9 / 0.7 - 1.0, 1e-12);
  EXPECT_NEAR(gain.sigma, 0.0, 1e-6);
  EXPECT_TRUE(worth_doing(gain));
}

TEST(Gain, OfErrorsInCommonAgreesWithDrawingThem) {
  const ContrastCurve curve = defocus_curve(pupil, green);
  BeforeAfter states;
  states.mean = {0.4, 0.1, 0.1, 0.0};
  states.covariance = {0.01, 0.0, 0.01, 0.0, 0.0, 0.01, 0.0, 0.01, 0.01, 0.0, 0.014, 0.0, 0.0, 0.01, 0.0, 0.014};
  const Measured<double> gain = expected_gain(curve, states);
  Rng rng(5);
  double now = 0.0, change = 0.0, change2 = 0.0;
  constexpr int draws = 40000;
  for (int i = 0; i < draws; ++i) {
    const double x = 0.1 * rng.normal(), y = 0.1 * rng.normal(), hand = std::sqrt(0.004);
    const double before = curve.at(std::hypot(0.4 + x, 0.1 + y));
    const double more = curve.at(std::hypot(0.1 + x + hand * rng.normal(), y + hand * rng.normal())) - before;
    now += before / draws;
    change += more / draws;
    change2 += more * more / draws;
  }
  EXPECT_NEAR(gain.value, change / now, 0.01);
  EXPECT_NEAR(gain.sigma, std::sqrt(change2 - change * change) / now, 0.015);
}

TEST(Gain, OfNoTurnIsNil) {
  BeforeAfter states;
  states.mean = {0.4, 0.0, 0.4, 0.0};
  states.covariance = {0.01, 0.0, 0.01, 0.0, 0.0, 0.01, 0.0, 0.01, 0.01, 0.0, 0.01, 0.0, 0.0, 0.01, 0.0, 0.01};
  const Measured<double> gain = expected_gain(coma_curve(pupil, green), states);
  EXPECT_NEAR(gain.value, 0.0, 1e-9);
  EXPECT_FALSE(worth_doing(gain));
}

TEST(Gain, OfColoursIsWhatTheirPlanesOwnWidthCosts) {
  // A smear of rms s along the vertical keeps exp(-2 (pi f s cos)^2) of detail; in the mean over directions.
  const double s = 0.25 * 0.5;
  double mean = 0.0;
  for (int k = 0; k < 100; ++k)
    mean += std::exp(-2.0 * std::pow(std::numbers::pi * s * std::cos(std::numbers::pi * (k + 0.5) / 100.0), 2)) / 100.0;
  EXPECT_NEAR(colour_curve(0.25).at(0.5), mean, 0.01);
}

}  // namespace
}  // namespace halfarc
