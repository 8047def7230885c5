// Photons, electrons and noise against publications.
#include "halfarc/optics/light.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/optics/detector.h"
#include "halfarc/optics/passband.h"
#include "halfarc/optics/sunlight.h"

namespace halfarc {
namespace {

// Photons a second, square metre and nanometre of a jansky at a wavelength: 1e-26 / (h lambda).
double photons_of_jansky(double nm) { return 1e-26 / 6.62607015e-34 / nm; }

// [Bessell1998] table A2: 3.631e-9 erg / (s cm^2 A) at V = 0, 996 photons / (s cm^2 A) ("about 1000").
TEST(PublishedPhotons, ZeroMagnitudeOfBessell1998) { EXPECT_NEAR(zero_magnitude_photons() * 1e-5, 996.2, 0.5); }

// [Bessell1979]: 3640 Jy at 550 nm; 3631 Jy is the zero point of AB magnitudes.
TEST(PublishedPhotons, ZeroMagnitudeInJanskys) {
  EXPECT_NEAR(3640.0 * photons_of_jansky(550.0) * 1e-5, 998.8, 0.5);
  EXPECT_NEAR(zero_magnitude_photons() / (3640.0 * photons_of_jansky(550.0)), 1.0, 0.005);
  EXPECT_NEAR(zero_magnitude_photons() / (3631.0 * photons_of_jansky(550.0)), 1.0, 0.005);
}

// Worked example with [Bessell1979] (3640 Jy, relative width 0.16): V = 23.90 is 1 microjansky, 2.42 photons a second
// and square metre in the band.
TEST(PublishedPhotons, FaintStarOfTheWorkedExample) {
  const double width_nm = 0.16 * 550.0;
  EXPECT_NEAR(1e-6 * photons_of_jansky(550.0) * width_nm, 2.42, 0.01);
  // With this program's zero point, a spectrum of the Sun's shape and the real band instead of the box.
  const SpectralCurve photons = photons_of_magnitude(23.90, sunlight());
  EXPECT_NEAR(area_nm(photons * visual_band()) / area_nm(visual_band()) * width_nm, 2.42, 0.05);
}

// [Howell2000] pp. 55-57, after [Merline1995]: 300 s, 5 e/ADU, read noise 5 e, dark 22 e an hour, sky 620 ADU a pixel,
// background over 200 pixels, a star of 24013 ADU in one pixel: S/N 342.
TEST(PublishedNoise, StarOfHowell2000) {
  Exposed star;
  star.signal_e = 24013.0 * 5.0;
  star.background_pixels = 200.0;
  star.sky_e = 620.0 * 5.0;
  star.dark_e = 22.0 * 300.0 / 3600.0;
  star.read_noise_e = 5.0;
  star.e_per_adu = 5.0;
  EXPECT_NEAR(signal_to_noise(star), 342.05, 0.05);
}

// Common practice: 640 x 480 8-bit at 150 a second is 46 MB/s and 4.1 GB in 90 s; 800 x 800 at 120 6.9 GB; 1936 x 1096
// at 80 in a minute 10.2 GB.
TEST(PublishedVolume, OfRecordingsCommonPractice) {
  Detector camera;
  camera.bits = 8;
  EXPECT_NEAR(frame_bytes(camera, {640, 480}) * 150.0, 46e6, 0.1e6);
  EXPECT_NEAR(gigabytes_per_minute(camera, {640, 480}, 150.0) * 1.5, 4.1, 0.05);
  EXPECT_NEAR(gigabytes_per_minute(camera, {800, 800}, 120.0) * 1.5, 6.9, 0.05);
  EXPECT_NEAR(gigabytes_per_minute(camera, {1936, 1096}, 80.0), 10.2, 0.05);
}

}  // namespace
}  // namespace halfarc
