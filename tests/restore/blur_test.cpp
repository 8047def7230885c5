#include "halfarc/restore/blur.h"

#include <gtest/gtest.h>

#include "disc_run.h"
#include "halfarc/air/aligned_exposures.h"
#include "halfarc/restore/accumulate.h"

namespace halfarc {
namespace {

using testing::DiscRun;
using testing::MadeRun;

std::vector<SiteSums> groups_of(const DiscRun& run, std::size_t groups) {
  const MadeRun made = make_disc_run(run);
  const Window window = {0, 0, run.width, run.height};
  std::vector<SiteSums> result(groups, SiteSums(window));
  std::vector<std::byte> frame(made.recording.info().bytes_per_frame());
  for (std::size_t f = 0; f < run.frames; ++f) {
    EXPECT_TRUE(made.recording.read(f, 1, frame));
    result[f * groups / run.frames].add(
        site_pair(made.recording.info(), frame, window, made.centres[f] - PixelPoint{47.5, 47.5}));
  }
  return result;
}

TEST(CutOff, IsDiameterOverWavelength) {
  // 203 mm at 535 nm: 379439 cycles a radian, 1.8396 an arcsecond; times 0.16 arcsec a pixel.
  EXPECT_NEAR(cut_off_per_px({{Length::mm(203), 0.34}, PlateScale::arcsec_per_px(0.16)}, Length::nm(535)), 0.29433,
              1e-4);
}

TEST(MeasureBlur, SteadyFramesMeanLittleTurbulence) {
  DiscRun run;
  run.blur_spread = 0.0;
  run.frames = 120;
  const AirBlur steady = measure_blur(groups_of(run, 8), {}, Length::nm(535));
  run.blur_spread = 4.0;
  const AirBlur unsteady = measure_blur(groups_of(run, 8), {}, Length::nm(535));
  EXPECT_LT(steady.d_over_r0.value, 1.2);
  EXPECT_GT(unsteady.d_over_r0.value, steady.d_over_r0.value + 0.3);
  EXPECT_GT(steady.d_over_r0.sigma, 0.0);
}

TEST(MeasureBlur, NoiseAloneGivesTheUsualNightWithItsWideError) {
  DiscRun run;
  run.peak = 0.02;
  run.frames = 40;
  const AirBlur blur = measure_blur(groups_of(run, 8), {}, Length::nm(535));
  EXPECT_FALSE(blur.measured);
  EXPECT_GT(blur.d_over_r0.sigma, 0.35 * blur.d_over_r0.value);
}

TEST(MeanTransfer, IsOneAtZeroAndWorseInTheBlue) {
  AirBlur blur;
  blur.d_over_r0 = {3.0, 0.2};
  blur.wavelength = Length::nm(535);
  const Aperture aperture;
  const Transfer red = mean_transfer(blur, aperture, Length::nm(620));
  const Transfer green = mean_transfer(blur, aperture, Length::nm(535));
  const Transfer blue = mean_transfer(blur, aperture, Length::nm(465));
  EXPECT_DOUBLE_EQ(green(0.0, 0.0), 1.0);
  for (const double f : {0.05, 0.1, 0.2}) {
    EXPECT_GT(red(f, 0.0), green(f, 0.0));
    EXPECT_GT(green(0.0, f), blue(0.0, f));
  }
  const double x = 0.1 / cut_off_per_px(aperture, Length::nm(535));
  EXPECT_NEAR(green(0.1, 0.0), aligned_mean_transfer(3.0, x) * sharing_transfer(0.1, 0.0), 1e-12);
}

}  // namespace
}  // namespace halfarc
