#include "halfarc/optics/wavefront.h"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

#include "halfarc/optics/sampled_pupil.h"
#include "halfarc/optics/zernike.h"

namespace halfarc {
namespace {

const Pupil kClear{Length::mm(203.0), 0.0};
const Pupil kAnnulus{Length::mm(203.0), 0.34};
const Length kGreen = Length::nm(550.0);

SkyFrequency along_x(const Pupil& pupil, double share) { return {share * cut_off(pupil, kGreen), {}}; }

// The transfer of a wavefront at whole cycles along x across the grid, through its sampled point spread.
double by_point_spread(const Wavefront& wavefront, const Pupil& pupil, int grid, int cycles_x, int cycles_y) {
  const SampledPupil sampled(pupil, kGreen, critical_pitch(pupil, kGreen) / 1.6, grid);
  const auto transfer = [&](bool perfect) {
    std::vector<float> opd;
    for (const PupilPoint& p : sampled.points()) {
      const Length l = path(wavefront, 2.0 * (p.x / pupil.diameter), 2.0 * (p.y / pupil.diameter));
      opd.push_back(perfect ? 0.0F : static_cast<float>(l.m()));
    }
    std::vector<std::complex<float>> field(static_cast<std::size_t>(grid * grid));
    std::vector<float> spread(static_cast<std::size_t>(grid * grid));
    sampled.point_spread(opd, field, spread);
    std::complex<double> sum = 0.0;
    for (int y = 0; y < grid; ++y) {
      for (int x = 0; x < grid; ++x) {
        const double turns = static_cast<double>(x * cycles_x + y * cycles_y) / grid;
        sum += std::polar(static_cast<double>(spread[static_cast<std::size_t>(y * grid + x)]),
                          -2.0 * std::numbers::pi * turns);
      }
    }
    return std::abs(sum);
  };
  return transfer(false) / transfer(true);
}

TEST(Wavefront, NoErrorLeavesAllContrast) {
  EXPECT_EQ(contrast_left(Wavefront{}, kAnnulus, kGreen, along_x(kAnnulus, 0.5)), 1.0);
}

// [BornWolf1999] 8.8 and 9.3: the quarter wave of defocus is lambda/13.9 rms over a clear disc, times 1 - e^2 over an
// annulus; coma W r^3 cos t without its tilt is W / sqrt(72).
TEST(Wavefront, RmsIsThatOfTheTextbook) {
  EXPECT_NEAR(rms_waves({.defocus = 0.25}, kClear), 0.25 / std::sqrt(12.0), 0.001);
  EXPECT_NEAR(rms_waves({.defocus = 0.25}, kAnnulus), defocus_rms_waves(kAnnulus, 0.25), 0.001);
  EXPECT_NEAR(rms_waves({.coma_x = 0.6}, kClear), 0.6 / kComaEdgePerRms, 0.001);
  EXPECT_NEAR(rms_waves({.astigmatism_45 = 0.5}, kClear), 0.5 / std::sqrt(6.0), 0.002);
}

// [BornWolf1999] 9.1: spherical aberration W r^4 balanced by defocus -W r^2 is W / sqrt(180) rms.
TEST(Wavefront, DefocusBalancesSphericalAberration) {
  EXPECT_NEAR(rms_waves({.defocus = -1.0, .spherical = 1.0}, kClear), 1.0 / std::sqrt(180.0), 0.001);
}

// A second route: the Fourier transform of the point spread.
TEST(Wavefront, ContrastIsThatOfThePointSpread) {
  const Wavefront errors{.defocus = 0.22,
                         .spherical = -0.1,
                         .coma_x = 0.2,
                         .coma_y = -0.3,
                         .astigmatism = 0.15,
                         .astigmatism_45 = 0.05,
                         .wavelength = kGreen};
  const int grid = 256;
  const double cut_off_cycles = grid / 3.2;
  for (const double share : {0.2, 0.4, 0.6, 0.8}) {
    const int cycles = static_cast<int>(std::lround(share * cut_off_cycles * 0.6));
    const int other = static_cast<int>(std::lround(share * cut_off_cycles * 0.8));
    const SkyFrequency f{cut_off(kAnnulus, kGreen) * (cycles / cut_off_cycles),
                         cut_off(kAnnulus, kGreen) * (other / cut_off_cycles)};
    EXPECT_NEAR(contrast_left(errors, kAnnulus, kGreen, f), by_point_spread(errors, kAnnulus, grid, cycles, other),
                0.012)
        << share;
  }
}

TEST(Wavefront, BluerLightLosesMore) {
  const Wavefront errors{.defocus = 0.3, .wavelength = kGreen};
  const SpatialFrequency half_arc = SpatialFrequency::per_arcsec(1.0);
  EXPECT_LT(contrast_left(errors, kAnnulus, Length::nm(460.0), half_arc),
            0.97 * contrast_left(errors, kAnnulus, Length::nm(620.0), half_arc));
}

// Defocus and as much astigmatism: all blur along x, none along y.
TEST(Wavefront, DirectionsAreAveraged) {
  const Wavefront line{.defocus = 0.12, .astigmatism = 0.12, .wavelength = kGreen};
  const SpatialFrequency f = 0.4 * cut_off(kAnnulus, kGreen);
  const double along = contrast_left(line, kAnnulus, kGreen, SkyFrequency{f, {}});
  const double across = contrast_left(line, kAnnulus, kGreen, SkyFrequency{{}, f});
  EXPECT_LT(along, 0.9);
  EXPECT_NEAR(across, 1.0, 1e-9);
  EXPECT_NEAR(contrast_left(line, kAnnulus, kGreen, f), 0.5 * (along + across), 0.1);
}

}  // namespace
}  // namespace halfarc
