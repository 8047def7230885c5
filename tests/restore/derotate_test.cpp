#include "halfarc/restore/derotate.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace halfarc {
namespace {

constexpr int kSize = 128;
constexpr double kRadius = 45.0;

// Jupiter's pace: 0.6 deg a minute, the field turning a quarter of a degree a minute.
RotationModel turning() {
  RotationModel m;
  m.reference = Utc::civil(2026, 12, 4, 21, 0).value();
  m.central_east_longitude.rate = AngularRate::rad_per_s(-Angle::deg(0.6).rad() / 60.0);
  m.pole_from_zenith.rate = AngularRate::rad_per_s(Angle::deg(0.25).rad() / 60.0);
  m.sub_observer_latitude.at_reference = Angle::deg(3.0);
  m.sub_solar_latitude.at_reference = Angle::deg(3.0);
  m.equatorial_diameter.at_reference = Angle::arcsec(40.0);
  m.polar_over_equatorial = 0.94;
  return m;
}

DerotationTarget target_at(const RotationModel& m) {
  DerotationTarget t;
  t.at = m.reference;
  t.width = t.height = kSize;
  t.centre = {63.5, 63.5};
  t.disc.equatorial_radius = kRadius;
  t.disc.north = Angle::deg(25.0);
  t.limb = {0.6, 0.4};  // the blur of the pixels alone
  return t;
}

// The globe as it stands at an instant, drawn spot by spot: its surface holds smooth markings, its shading falls to the
// limb. 5 x 5 points a pixel, no further blur.
ColourPlanes drawn(const RotationModel& m, const DerotationTarget& t, Utc at, PixelPoint centre, float light = 100.0F,
                   float sky = 7.0F) {
  const TurningDisc globe(m, t.disc, at);
  ColourPlanes planes;
  planes[1] = Plane<float>(kSize, kSize);
  for (int y = 0; y < kSize; ++y) {
    for (int x = 0; x < kSize; ++x) {
      double sum = 0.0;
      for (int k = 0; k < 25; ++k) {
        const PixelPoint p = {x + (k % 5 - 2) / 5.0, y + (k / 5 - 2) / 5.0};
        const TurningDisc::Spot spot = globe.at(p - centre);
        if (spot.part != TurningDisc::Part::surface) continue;
        const double markings = 1.0 + 0.25 * std::sin(11.0 * spot.place[1]) * std::cos(9.0 * spot.place[2]);
        sum += markings * (1.0 - t.limb.darkening * (1.0 - spot.to_sun)) / 25.0;
      }
      planes[1](x, y) = sky + light * static_cast<float>(sum);
    }
  }
  return planes;
}

double rms_inside(const Plane<float>& a, const Plane<float>& b, double radius) {
  double sum = 0.0, n = 0.0;
  for (int y = 0; y < kSize; ++y) {
    for (int x = 0; x < kSize; ++x) {
      if (std::hypot(x - 63.5, y - 63.5) > radius) continue;
      sum += std::pow(static_cast<double>(a(x, y) - b(x, y)), 2);
      n += 1.0;
    }
  }
  return std::sqrt(sum / n);
}

struct Turned {
  Derotation::Result result;
  Plane<float> truth, plain;  // at the instant, and the mean of the slices as they are
};

Turned turn(const RotationModel& m, const DerotationTarget& t, const std::vector<double>& minutes) {
  Derotation derotation(m, t);
  Turned turned;
  turned.plain = Plane<float>(kSize, kSize);
  for (const double minute : minutes) {
    const Utc at = m.reference + Duration::minutes(minute);
    const PixelPoint centre = {63.5 + 0.3 * minute, 63.5 - 0.2 * minute};
    const ColourPlanes a = drawn(m, t, at, centre);
    const ColourPlanes b = drawn(m, t, at, centre);
    derotation.add({at, {&a, &b}, {10.0, 10.0}, {centre, centre, centre}}, {});
    const ColourPlanes still = drawn(m, t, at, {63.5, 63.5});
    for (std::size_t i = 0; i < turned.plain.count(); ++i) {
      turned.plain.samples()[i] += still[1].samples()[i] / static_cast<float>(minutes.size());
    }
  }
  turned.result = derotation.mean();
  turned.truth = drawn(m, t, m.reference, {63.5, 63.5})[1].copy();
  return turned;
}

TEST(Derotate, AQuarterOfAnHourBecomesOneInstant) {
  const RotationModel m = turning();
  const Turned t = turn(m, target_at(m), {-7.5, -5.0, -2.5, 0.0, 2.5, 5.0, 7.5});
  const Plane<float>& image = t.result.halves[0][1];
  EXPECT_LT(rms_inside(image, t.truth, 36.0), 0.1);  // of 100
  EXPECT_GT(rms_inside(t.plain, t.truth, 36.0), 1.2);
  // To the limb and beyond it there is no seam.
  EXPECT_LT(rms_inside(image, t.truth, 60.0), 1.0);
  EXPECT_EQ(t.result.unseen, 0.0);
}

TEST(Derotate, OneSliceAtTheInstantStaysAsItIs) {
  const RotationModel m = turning();
  const Turned t = turn(m, target_at(m), {0.0});
  EXPECT_LT(rms_inside(t.result.halves[1][1], t.truth, 58.0), 0.02);
}

TEST(Derotate, WhatNoSliceSawIsCountedAndLeftDark) {
  const RotationModel m = turning();
  const Turned t = turn(m, target_at(m), {40.0});  // 24 deg later: the setting side was not seen
  EXPECT_GT(t.result.unseen, 0.02);
  EXPECT_LT(t.result.unseen, 0.10);  // the part beyond the limb of a globe turned by 24 deg: (1 - cos 24 deg) / 2
}

// A slice through cloud is brought to the light of the others and counts for less.
TEST(Derotate, ADimSliceIsBrightenedAndCountsForItsLight) {
  const RotationModel m = turning();
  const DerotationTarget t = target_at(m);
  Derotation derotation(m, t);
  const ColourPlanes bright = drawn(m, t, m.reference, t.centre);
  const ColourPlanes dim = drawn(m, t, m.reference, t.centre, 50.0F, 9.0F);
  const std::array centres = {t.centre, t.centre, t.centre};
  derotation.add({m.reference, {&bright, &bright}, {10.0, 10.0}, centres}, {});
  derotation.add({m.reference, {&dim, &dim}, {10.0, 10.0}, centres}, {});
  EXPECT_LT(rms_inside(derotation.mean().halves[0][1], bright[1], 58.0), 0.05);
}

TEST(Derotate, HalvesDoNotMix) {
  const RotationModel m = turning();
  const DerotationTarget t = target_at(m);
  const ColourPlanes one = drawn(m, t, m.reference, t.centre);
  ColourPlanes spotted = drawn(m, t, m.reference, t.centre);
  spotted[1](64, 64) += 50.0F;
  Derotation derotation(m, t);
  derotation.add({m.reference, {&one, &spotted}, {10.0, 10.0}, {t.centre, t.centre, t.centre}}, {});
  const auto mean = derotation.mean();
  EXPECT_GT(mean.halves[1][1](64, 64) - mean.halves[0][1](64, 64), 45.0F);
}

// Jupiter of 44.4" in 9.9250 h at its equator: 0.234"/min (geometry: pi D / period); the needs table has 0.237 for 45".
TEST(Derotate, SmearOfJupiterIsThatOfTheTable) {
  RotationModel m = turning();
  m.central_east_longitude.rate = AngularRate::rad_per_s(-2.0 * M_PI / (9.925 * 3600.0));
  m.pole_from_zenith.rate = AngularRate();
  DiscOnImage disc;
  disc.equatorial_radius = 22.5;
  EXPECT_NEAR(60.0 * smear_rate(m, disc), 0.237, 0.001);
}

}  // namespace
}  // namespace halfarc
