#include "halfarc/simulate/patchwork.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

constexpr PlateScale kScale = PlateScale::arcsec_per_px(0.1753);
constexpr int kWidth = 200;
constexpr int kHeight = 160;
const Angle kBlur = Angle::arcsec(5.2);  // four times the width of a star, as a recording takes it

std::array<Plane<float>, 3> planes() {
  std::array<Plane<float>, 3> image;
  for (auto& plane : image) plane = Plane<float>(kWidth, kHeight);
  return image;
}

Scene giant() {
  BodySpec body;
  body.equatorial_diameter = Angle::arcsec(18.0);
  return draw_scene(body, {kWidth, kHeight, kScale}, 3);
}

Exposure exposure() {
  Exposure e;
  e.middle = Duration::ms(40.0);
  e.length = Duration::ms(8.0);
  e.parts = 2;
  for (auto& shift : e.shift) shift = {Angle::arcsec(0.62), Angle::arcsec(-0.41)};
  return e;
}

AirSpec air_at(Length height) {
  AirSpec air;
  air.turbulence = {Length::cm(8.0), kSeeingWavelength, Length::m(25.0)};
  air.layers = {{1.0, Speed::m_per_s(10.0), Angle::deg(30.0), height}};
  return air;
}

double largest_difference(const Plane<float>& a, const Plane<float>& b) {
  double largest = 0.0;
  for (std::size_t i = 0; i < a.count(); ++i) {
    largest = std::max(largest, std::abs(static_cast<double>(a.samples()[i] - b.samples()[i])));
  }
  return largest;
}

TEST(Patchwork, WindowsSumToOne) {
  for (const int count : {1, 2, 5}) {
    for (double x = -20.0; x < 220.0; x += 0.37) {
      double sum = 0.0;
      for (int i = 0; i < count; ++i) sum += Patchwork::window(x, kWidth, i, count);
      EXPECT_NEAR(sum, 1.0, 1e-12) << count << " " << x;
    }
  }
}

TEST(Patchwork, OnePatchIsTheLightTrain) {
  const Instrument instrument;
  const Scene scene = giant();
  const Atmosphere air(air_at(Length::km(5.0)), instrument.pupil, Duration::s(1.0), Rng(1));
  const LightTrain train(instrument, scene, kBlur);
  const Patchwork patchwork(instrument, scene, Angle::arcsec(100.0), kBlur);
  auto a = planes();
  auto b = planes();
  const AirTruth one = train.expose(air, exposure(), *train.make_work(), a);
  const AirTruth other = patchwork.expose(air, exposure(), *patchwork.make_work(), b);
  for (std::size_t c = 0; c < 3; ++c) EXPECT_EQ(largest_difference(a[c], b[c]), 0.0);
  EXPECT_NEAR(one.centroid_px.x, other.centroid_px.x, 1e-12);
}

// Air on the ground is the same for all: the patches must join without a seam.
TEST(Patchwork, NoSeamsUnderOneAir) {
  const Instrument instrument;
  const Scene scene = giant();
  const Atmosphere air(air_at(Length::m(0.0)), instrument.pupil, Duration::s(1.0), Rng(1));
  const LightTrain train(instrument, scene, kBlur);
  const Patchwork patchwork(instrument, scene, Angle::arcsec(7.0), kBlur);
  EXPECT_GT(patchwork.places().size(), 8U);
  auto a = planes();
  auto b = planes();
  Exposure mosaic = exposure();
  mosaic.rows = {RowChoice{1, 2}, RowChoice{}, RowChoice{0, 2}};
  const AirTruth one = train.expose(air, mosaic, *train.make_work(), a);
  const AirTruth other = patchwork.expose(air, mosaic, *patchwork.make_work(), b);
  // The outermost light of the point spreads, folded back, is the only difference.
  for (std::size_t c = 0; c < 3; ++c) EXPECT_LT(largest_difference(a[c], b[c]), 0.015) << c;
  EXPECT_NEAR(one.centroid_px.x, other.centroid_px.x, 0.05);
  EXPECT_NEAR(one.rms_nm, other.rms_nm, 1.0);
}

// Two stars 20" apart under air at 10 km: they move apart; under air on the ground they do not.
TEST(Patchwork, StarsFarApartMoveByThemselves) {
  const Instrument instrument;
  Scene scene;
  scene.frame = {kWidth, kHeight, kScale};
  scene.oversample = 3;
  for (auto& plane : scene.cells) plane = Plane<float>(kWidth * 3, kHeight * 3);
  scene.points = {{{40.0, 80.0}, {1.0F, 1.0F, 1.0F}}, {{154.0, 80.0}, {1.0F, 1.0F, 1.0F}}};
  const Patchwork patchwork(instrument, scene, Angle::arcsec(6.0), kBlur);
  const auto moved_apart = [&](Length height) {
    const Atmosphere air(air_at(height), instrument.pupil, Duration::s(4.0), Rng(2));
    const auto work = patchwork.make_work();
    double square = 0.0;
    for (int i = 0; i < 12; ++i) {
      Exposure e;
      e.middle = Duration::ms(300.0 * i);
      e.rows = {RowChoice{0, 0}, RowChoice{}, RowChoice{0, 0}};
      auto image = planes();
      patchwork.expose(air, e, *work, image);
      std::array<double, 2> light{};
      std::array<double, 2> x_sum{};
      for (int y = 50; y < 110; ++y) {
        for (int x = 0; x < kWidth; ++x) {
          const std::size_t star = x < 97 ? 0 : 1;
          light[star] += static_cast<double>(image[1](x, y));
          x_sum[star] += static_cast<double>(image[1](x, y)) * x;
        }
      }
      const double apart = x_sum[1] / light[1] - x_sum[0] / light[0] - 114.0;
      square += apart * apart / 12.0;
    }
    return std::sqrt(square);
  };
  // The halo, cut at the frame's edges, pulls the two centres a little even under one air.
  const double together = moved_apart(Length::m(0.0));
  EXPECT_LT(together, 0.6);
  EXPECT_GT(moved_apart(Length::km(10.0)), 3.0 * together);
}

}  // namespace
}  // namespace halfarc
