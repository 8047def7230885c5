#include "halfarc/optics/sampled_pupil.h"

#include <gtest/gtest.h>

#include <cmath>
#include <memory>
#include <numbers>
#include <numeric>
#include <vector>

#include "halfarc/base/fourier.h"
#include "halfarc/optics/zernike.h"

namespace halfarc {
namespace {

constexpr Length kGreen = Length::nm(550.0);
const Pupil kScope{Length::mm(203.0), 0.34};

// Everything one point spread needs, with aligned scratch.
struct Image {
  explicit Image(const SampledPupil& p)
      : n(p.grid()),
        count(static_cast<std::size_t>(n) * static_cast<std::size_t>(n)),
        storage(count + 8),
        spread(count) {
    void* start = storage.data();
    std::size_t space = storage.size() * sizeof(std::complex<float>);
    std::align(64, count * sizeof(std::complex<float>), start, space);
    field = {static_cast<std::complex<float>*>(start), count};
  }
  float at(int x, int y) const { return spread[static_cast<std::size_t>(((y + n) % n) * n + (x + n) % n)]; }
  int n;
  std::size_t count;
  std::vector<std::complex<float>> storage;
  std::span<std::complex<float>> field;
  std::vector<float> spread;
};

Image image_of(const SampledPupil& pupil, const std::vector<float>& opd) {
  Image image(pupil);
  pupil.point_spread(opd, image.field, image.spread);
  return image;
}

TEST(SampledPupil, OpenCellsAddUpToTheAnnulus) {
  const SampledPupil p(kScope, kGreen, Angle::arcsec(0.17), 128);
  const double open = std::accumulate(p.openness().begin(), p.openness().end(), 0.0);
  const double area = std::numbers::pi / 4.0 * 0.203 * 0.203 * (1.0 - 0.34 * 0.34);
  EXPECT_NEAR(open * p.cell().m() * p.cell().m() / area, 1.0, 3e-4);
}

TEST(SampledPupil, PerfectPointSpreadIsTheClosedForm) {
  const Angle pitch = Angle::arcsec(0.1);
  const SampledPupil p(kScope, kGreen, pitch, 256);
  const Image image = image_of(p, std::vector<float>(p.points().size(), 0.0F));
  EXPECT_NEAR(std::accumulate(image.spread.begin(), image.spread.end(), 0.0), 1.0, 1e-5);
  const double peak = static_cast<double>(image.at(0, 0));
  for (const auto& [x, y] : {std::pair{1, 0}, std::pair{0, 3}, std::pair{-4, 2}, std::pair{7, -7}, std::pair{-15, 1}}) {
    const Angle r = pitch * std::hypot(x, y);
    EXPECT_NEAR(static_cast<double>(image.at(x, y)) / peak, point_intensity(kScope, kGreen, r), 1e-3) << x << " " << y;
  }
}

// The transform of the point spread is the transfer function of [ONeill1956].
TEST(SampledPupil, PerfectTransferFunctionIsTheClosedForm) {
  const Angle pitch = Angle::arcsec(0.17);
  const int n = 128;
  const SampledPupil p(kScope, kGreen, pitch, n);
  Image image = image_of(p, std::vector<float>(p.points().size(), 0.0F));
  for (std::size_t i = 0; i < image.count; ++i) image.field[i] = image.spread[i];
  fourier_forward(n, n, image.field.data());
  for (int k = 0; k < n / 2; ++k) {
    const auto nu = SpatialFrequency::of_period(pitch * (static_cast<double>(n) / std::max(k, 1)));
    const double expected = k == 0 ? 1.0 : perfect_mtf(kScope, kGreen, nu);
    EXPECT_NEAR(static_cast<double>(image.field[static_cast<std::size_t>(k)].real()), expected, 4e-3) << k;
  }
}

TEST(SampledPupil, SlopeOfThePathMovesTheImageTheSameWay) {
  const Angle pitch = Angle::arcsec(0.17);
  const SampledPupil p(kScope, kGreen, pitch, 64);
  std::vector<float> opd;
  for (const PupilPoint& point : p.points()) {
    opd.push_back(static_cast<float>(5.0 * pitch.rad() * point.x.m() - 2.0 * pitch.rad() * point.y.m()));
  }
  const Image image = image_of(p, opd);
  const Image still = image_of(p, std::vector<float>(opd.size(), 0.0F));
  EXPECT_NEAR(image.at(5, -2), still.at(0, 0), 1e-5F * still.at(0, 0));
}

// Born & Wolf 9.3 through `defocus_strehl`: W waves at the edge are W / (2 sqrt 3) waves rms over the full disc.
TEST(SampledPupil, DefocusLeavesTheStrehlOfTheClosedForm) {
  const SampledPupil p(kScope, kGreen, Angle::arcsec(0.1), 256);
  const Image perfect = image_of(p, std::vector<float>(p.points().size(), 0.0F));
  for (const double waves : {0.1, 0.25, 0.5, 0.8}) {
    std::vector<float> opd(p.points().size(), 0.0F);
    add_zernike(p, kScope, 4, kGreen * (waves / kDefocusEdgePerRms), opd);
    const Image image = image_of(p, opd);
    EXPECT_NEAR(static_cast<double>(image.at(0, 0) / perfect.at(0, 0)), defocus_strehl(kScope, waves), 2e-3) << waves;
  }
}

// Coma along x (Zernike 8) throws light to one side only, along x; with the tilt balanced out of it the tail of
// positive coma points to +x and the peak lies at -x.
TEST(SampledPupil, ComaTailPointsAlongTheAxisOfItsName) {
  const SampledPupil p(kScope, kGreen, Angle::arcsec(0.1), 256);
  std::vector<float> opd(p.points().size(), 0.0F);
  add_zernike(p, kScope, 8, kGreen * 0.12, opd);
  const Image image = image_of(p, opd);
  double third_x = 0.0;
  double third_y = 0.0;
  for (int y = -40; y <= 40; ++y) {
    for (int x = -40; x <= 40; ++x) {
      third_x += static_cast<double>(image.at(x, y)) * x * std::hypot(x, y);
      third_y += static_cast<double>(image.at(x, y)) * y * std::hypot(x, y);
    }
  }
  EXPECT_GT(third_x, 1.0);
  EXPECT_NEAR(third_y / third_x, 0.0, 1e-3);
}

TEST(SampledPupil, CriticalPitch) {
  EXPECT_NEAR(critical_pitch(kScope, kGreen).arcsec(), 0.5 * 0.55e-6 / 0.203 * 206264.806, 1e-6);
}

// Of a perfect telescope it is the closed form of [Mahajan1998] (pupil.h).
TEST(SampledPupil, EncircledEnergyIsTheClosedForm) {
  const Pupil pupil{Length::mm(203.0), 0.34};
  const Length green = Length::nm(550.0);
  const int grid = 256;
  const Angle pitch = critical_pitch(pupil, green) / 2.0;
  const SampledPupil sampled(pupil, green, pitch, grid);
  const std::vector<float> flat(sampled.points().size());
  std::vector<std::complex<float>> field(static_cast<std::size_t>(grid * grid));
  std::vector<float> spread(static_cast<std::size_t>(grid * grid));
  sampled.point_spread(flat, field, spread);
  for (const double samples : {4.0, 6.0, 10.0, 16.0}) {
    const Angle radius = pitch * samples;
    EXPECT_NEAR(encircled_energy(spread, grid, pitch, radius), encircled_energy(pupil, green, radius), 0.012)
        << samples;
  }
}

// With a Zernike it falls, and a tilt, which only moves the image, takes nothing.
TEST(SampledPupil, EncircledEnergyFallsWithAberrationsAndNotWithTilt) {
  const Pupil pupil{Length::mm(203.0), 0.34};
  const Length green = Length::nm(550.0);
  const int grid = 256;
  const Angle pitch = critical_pitch(pupil, green) / 2.0;
  const SampledPupil sampled(pupil, green, pitch, grid);
  std::vector<std::complex<float>> field(static_cast<std::size_t>(grid * grid));
  std::vector<float> spread(static_cast<std::size_t>(grid * grid));
  const auto within_core = [&](int j, double waves) {
    std::vector<float> opd(sampled.points().size());
    add_zernike(sampled, pupil, j, green * waves, opd);
    sampled.point_spread(opd, field, spread);
    return encircled_energy(spread, grid, pitch, first_dark_ring(pupil, green));
  };
  const double perfect = within_core(1, 0.0);
  EXPECT_NEAR(within_core(2, 0.4), perfect, 0.01);
  EXPECT_LT(within_core(4, 0.1), perfect - 0.1);
  EXPECT_LT(within_core(8, 0.15), within_core(8, 0.08) - 0.02);
}

}  // namespace
}  // namespace halfarc
