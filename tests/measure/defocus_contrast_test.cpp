#include "halfarc/measure/defocus_contrast.h"

#include <gtest/gtest.h>

#include "halfarc/optics/wavefront.h"

namespace halfarc {
namespace {

const Pupil kPupil{Length::mm(203.0), 0.34};
constexpr Length kGreen = Length::nm(540.0);

SpatialFrequency share_of_cut_off(double share) {
  return SpatialFrequency::per_rad(share * cut_off(kPupil, kGreen).per_rad());
}

TEST(DefocusContrast, InFocusItIsThePerfectTelescope) {
  for (double share = 0.0; share < 1.0; share += 0.07)
    EXPECT_NEAR(defocus_contrast(0.34, share, 0.0), perfect_mtf(kPupil, kGreen, share_of_cut_off(share)), 1e-3);
  EXPECT_EQ(defocus_contrast(0.34, 1.0, 0.3), 0.0);
}

// The other road: the overlap of the whole pupil, cell by cell.
TEST(DefocusContrast, AgreesWithTheWavefrontOverThePupil) {
  Wavefront wavefront;
  wavefront.wavelength = kGreen;
  for (const double waves : {0.125, 0.4, 1.0}) {
    wavefront.defocus = waves;
    for (const double share : {0.1, 0.3, 0.6}) {
      const double left = contrast_left(wavefront, kPupil, kGreen, share_of_cut_off(share));
      const double perfect = perfect_mtf(kPupil, kGreen, share_of_cut_off(share));
      EXPECT_NEAR(std::abs(defocus_contrast(0.34, share, waves)), left * perfect, 4e-3) << waves << " " << share;
    }
  }
}

TEST(DefocusContrast, IsEvenAndTurnsOver) {
  EXPECT_DOUBLE_EQ(defocus_contrast(0.2, 0.3, 0.7), defocus_contrast(0.2, 0.3, -0.7));
  double lowest = 1.0;
  for (double waves = 0.0; waves < 2.0; waves += 0.02) lowest = std::min(lowest, defocus_contrast(0.34, 0.3, waves));
  EXPECT_LT(lowest, -0.01);
}

}  // namespace
}  // namespace halfarc
