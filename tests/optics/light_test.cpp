#include "halfarc/optics/light.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "halfarc/optics/passband.h"
#include "halfarc/optics/sunlight.h"

namespace halfarc {
namespace {

const Pupil kPupil{Length::mm(203.0), 0.34};

TEST(Light, GreyLightHasTheZeroPointInTheMiddleOfTheBand) {
  // Photons that carry the same energy at every wavelength are as many at 545 nm as the zero point says.
  const SpectralCurve level = SpectralCurve::of([](Length wavelength) { return wavelength.nm(); });
  const SpectralCurve photons = photons_of_magnitude(0.0, level);
  EXPECT_NEAR(photons.at(Length::nm(545.0)) / zero_magnitude_photons(), 1.0, 1e-9);
}

TEST(Light, ScaleOfTheShapeDoesNotMatterAndFiveMagnitudesAreAHundred) {
  const SpectralCurve sun = sunlight();
  const double here = photons_of_magnitude(1.0, sun).at(Length::nm(600.0));
  EXPECT_NEAR(photons_of_magnitude(1.0, 7.0 * sun).at(Length::nm(600.0)) / here, 1.0, 1e-12);
  EXPECT_NEAR(here / photons_of_magnitude(6.0, sun).at(Length::nm(600.0)), 100.0, 1e-9);
}

// By hand: a box of 100 nm with half of the photons counted.
TEST(Light, ElectronsByHand) {
  const SpectralCurve photons = SpectralCurve::flat(1000.0);
  const SpectralCurve plane = 0.5 * SpectralCurve::box(Length::nm(500.0), Length::nm(600.0));
  const auto e = electrons_per_s(photons, {plane, plane, 2.0 * plane}, kPupil, PlateScale::arcsec_per_px(0.2));
  const double area = std::numbers::pi / 4.0 * (0.203 * 0.203 - 0.06902 * 0.06902);
  EXPECT_NEAR(e[0], 1000.0 * 0.5 * 100.0 * area * 0.04, 1e-9);
  EXPECT_NEAR(e[2], 2.0 * e[1], 1e-9);
}

// Jupiter at 5.3 magnitudes a square arcsecond, f/20 and 3.45 um: a few hundred electrons in 10 ms, so that raised gain
// fills the histogram (common practice).
TEST(Light, JupiterGivesHundredsOfElectronsInTenMilliseconds) {
  const auto planes =
      colour_planes(ultraviolet_infrared_cut() * telescope_transmission(TelescopeKind::schmidt_cassegrain));
  const auto e = electrons_per_s(photons_of_magnitude(5.3, body_light(BodyColour::jupiter)), planes, kPupil,
                                 PlateScale::arcsec_per_px(0.175));
  for (const double colour : e) {
    EXPECT_GT(colour * 0.01, 100.0);
    EXPECT_LT(colour * 0.01, 1000.0);
  }
}

// [Howell2000]: sqrt(N) for bright light, N / (sqrt(n) R) where read noise rules.
TEST(Light, LimitsOfSignalToNoise) {
  Exposed bright;
  bright.signal_e = 1e6;
  EXPECT_NEAR(signal_to_noise(bright), 1000.0, 0.01);
  Exposed faint;
  faint.signal_e = 10.0;
  faint.pixels = 100.0;
  faint.read_noise_e = 50.0;
  EXPECT_NEAR(signal_to_noise(faint), 10.0 / (10.0 * 50.0), 1e-5);
  const double known = signal_to_noise(faint);
  faint.background_pixels = 100.0;  // as many as the light's: its noise comes in twice
  EXPECT_NEAR(signal_to_noise(faint) / known, std::sqrt(0.5), 1e-4);
}

}  // namespace
}  // namespace halfarc
