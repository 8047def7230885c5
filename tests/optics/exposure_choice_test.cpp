#include "halfarc/optics/exposure_choice.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

double highest(const ExposureChoice& choice) {
  double peak = 0.0;
  for (const ExpectedHistogram& h : choice.histograms) peak = std::max(peak, h.peak);
  return peak;
}

TEST(ExposureChoice, MotionSetsTheTimeAndGainFillsTheHistogram) {
  const ExposureChoice c = choose_exposure(Detector{}, {8000.0, 20000.0, 6000.0}, ExposureWish{});
  EXPECT_EQ(c.limit, ExposureLimit::motion);
  EXPECT_NEAR(c.exposure.ms(), 10.0, 1e-9);
  EXPECT_NEAR(highest(c), 0.75, 1e-9);
  EXPECT_NEAR(c.histograms[1].peak, highest(c), 1e-12);
  EXPECT_GT(c.e_per_adu, Detector{}.least_e_per_adu);
  EXPECT_NEAR(c.frames.per_s, 100.0, 1e-9);
  EXPECT_NEAR(c.gigabytes_per_minute, 100.0 * 640.0 * 480.0 * 2.0 * 60.0 / 1e9, 1e-9);
}

TEST(ExposureChoice, BrightLightIsCutShortBeforeTheWellOverflows) {
  const ExposureChoice c = choose_exposure(Detector{}, {2e6, 4e6, 1e6}, ExposureWish{});
  EXPECT_EQ(c.limit, ExposureLimit::full_well);
  EXPECT_LT(c.exposure.ms(), 10.0);
  EXPECT_LE(highest(c), 0.75 + 1e-9);
  EXPECT_GT(highest(c), 0.70);
  EXPECT_FALSE(c.histograms[1].overflows);
  Detector shallow;
  shallow.full_well_e = 2000.0;  // full before the converter is
  const ExposureChoice s = choose_exposure(shallow, {2e6, 4e6, 1e6}, ExposureWish{});
  EXPECT_FALSE(s.histograms[1].overflows);
  EXPECT_LE(4e6 * s.exposure.s() * ExposureWish{}.peak_over_mean, 0.75 * 2000.0);
  EXPECT_NEAR(s.histograms[1].peak, 0.75, 1e-9);  // the gain fills the histogram all the same
}

TEST(ExposureChoice, LightTooBrightForTheShortestExposureOverflows) {
  const ExposureChoice c = choose_exposure(Detector{}, {1e9, 1e9, 1e9}, ExposureWish{});
  EXPECT_EQ(c.exposure, ExposureWish{}.shortest);
  EXPECT_TRUE(c.histograms[0].overflows);
}

TEST(ExposureChoice, DimLightIsSaidToBeDim) {
  const ExposureChoice c = choose_exposure(Detector{}, {100.0, 200.0, 50.0}, ExposureWish{});
  EXPECT_EQ(c.limit, ExposureLimit::dim);
  EXPECT_EQ(c.e_per_adu, Detector{}.least_e_per_adu);
  EXPECT_LT(highest(c), 0.75);
}

TEST(ExposureChoice, LongerExposuresGiveMoreSignalToNoise) {
  ExposureWish wish;
  double last = 0.0;
  for (const double ms : {1.0, 2.0, 5.0, 20.0}) {
    wish.longest = Duration::ms(ms);
    const ExposureChoice c = choose_exposure(Detector{}, {8000.0, 20000.0, 6000.0}, wish);
    EXPECT_GT(c.signal_to_noise[1], last);
    last = c.signal_to_noise[1];
  }
}

TEST(ExposureChoice, HistogramCountsElectronsIntoSteps) {
  Detector d;
  const ExpectedHistogram h = expected_histogram(d, 1.0, 1000.0, 1.5);
  EXPECT_NEAR(h.mean, (16.0 + 1000.0) / 4095.0, 1e-12);
  EXPECT_NEAR(h.peak, (16.0 + 1500.0 + 3.0 * std::sqrt(1500.0 + 2.25)) / 4095.0, 1e-12);
  EXPECT_FALSE(h.overflows);
  EXPECT_TRUE(expected_histogram(d, 1.0, 4000.0, 1.5).overflows);    // converter
  EXPECT_TRUE(expected_histogram(d, 100.0, 9000.0, 1.5).overflows);  // well
  EXPECT_EQ(expected_histogram(d, 1.0, 90000.0, 1.0).peak, 1.0);
}

}  // namespace
}  // namespace halfarc
