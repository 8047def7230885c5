// The corrector by exact rays: against the thin closed form in its limit, and against many rays traced by another
// route.
#include "halfarc/optics/prism_trace.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

#include "halfarc/optics/plate.h"

namespace halfarc {
namespace {

constexpr Length kRed = Length::nm(650.0);
constexpr Length kGreen = Length::nm(550.0);
constexpr Length kBlue = Length::nm(450.0);

double apart_um(SensorOffset a, SensorOffset b) { return std::hypot((a.x - b.x).um(), (a.y - b.y).um()); }

// The error of the thin form falls with the cube of the wedge, so its share of the pull with the square.
TEST(PrismTrace, AgreesWithTheThinFormInItsLimit) {
  for (const double marks : {0.0, 1.5, 5.0, 10.0}) {
    for (const double apex : {4.0, 2.0, 1.0, 0.25}) {
      PrismPair pair;
      pair.apex = Angle::deg(apex);
      const Levers levers{marks, 0.8 * marks};
      const double pull = deviation(pair, kGreen).rad() * 82.6e3;
      const auto traced = traced_shift(pair, levers, {}, kGreen);
      EXPECT_LT(apart_um(*traced, image_shift(pair, levers, {}, kGreen)), 6e-4 * apex * apex * pull) << marks;
    }
  }
}

TEST(PrismTrace, DispersionAgreesWithTheThinForm) {
  const CorrectorPlace place;
  for (const double marks : {2.0, 6.0, 10.0}) {
    const SensorOffset blue = *traced_shift({}, both_at(marks), place, kBlue);
    const SensorOffset red = *traced_shift({}, both_at(marks), place, kRed);
    const SkyOffset thin = dispersion({}, both_at(marks), place, kRed, kBlue);
    EXPECT_NEAR(Angle::rad((blue.x - red.x) / place.focal_length).arcsec(), thin.x.arcsec(), 0.002);
    EXPECT_NEAR(Angle::rad((blue.y - red.y) / place.focal_length).arcsec(), thin.y.arcsec(),
                0.003 * thin.y.arcsec() * -1.0);
  }
}

// Closed, without a gap, the pair is a plate of both thicknesses.
TEST(PrismTrace, ClosedPairIsAPlate) {
  PrismPair pair;
  pair.gap = Length();
  const CorrectorPlace place{.cone = {.focal_ratio = 5.0, .obstruction = 0.0}};
  const ConeImage image = *traced_image(pair, both_at(0.0), place, kGreen);
  const Plate plate{.thickness = 2.0 * pair.thickness};
  EXPECT_NEAR(image.wavefront.spherical, third_order(plate, place.cone, kGreen).spherical, 0.001);
  EXPECT_NEAR(image.wavefront.coma_x, 0.0, 1e-6);
  EXPECT_NEAR(image.wavefront.astigmatism, 0.0, 1e-6);
  EXPECT_NEAR(image.focus.z.mm(), 88.0, 0.02);
}

// Another route, sharing nothing with the library but the layout: rays start on a sphere before the glass, faces are
// met by halving steps on a signed distance, Snell's law is applied to the angle in the plane of incidence, and paths
// end on a distant sphere about the image.
namespace by_brute_force {

using Vec = std::array<double, 3>;  // millimetres or unit vectors
Vec plus(Vec a, double k, Vec b) { return {a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]}; }
double inner(Vec a, Vec b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }
Vec scaled(Vec a, double k) { return {a[0] * k, a[1] * k, a[2] * k}; }

struct Face {
  double z;
  double lean;     // radians, towards...
  double azimuth;  // ...this angle from the image's x to its y
  double index_behind;
};

struct Traced {
  Vec at;
  Vec along;
  double path;
};

Traced through(Traced ray, const std::vector<Face>& train) {
  double index = 1.0;
  for (const Face& face : train) {
    const Vec normal = {std::sin(face.lean) * std::cos(face.azimuth), std::sin(face.lean) * std::sin(face.azimuth),
                        std::cos(face.lean)};
    const auto height = [&](double s) { return inner(plus(plus(ray.at, s, ray.along), -1.0, {0, 0, face.z}), normal); };
    double low = 0.0;
    double high = 1000.0;
    for (int i = 0; i < 70; ++i) {
      const double middle = 0.5 * (low + high);
      (height(middle) < 0.0 ? low : high) = middle;
    }
    ray.at = plus(ray.at, low, ray.along);
    ray.path += index * low;
    const Vec sideways = plus(ray.along, -inner(ray.along, normal), normal);
    const double sine = std::sqrt(inner(sideways, sideways));
    if (sine > 0.0) {
      const double angle = std::asin(sine * index / face.index_behind);
      ray.along = plus(scaled(normal, std::cos(angle)), std::sin(angle) / sine, sideways);
    }
    index = face.index_behind;
  }
  return ray;
}

std::vector<Face> train_of(double apex_deg, double thickness, double gap, double lever_deg, double index) {
  constexpr double rad = std::numbers::pi / 180.0;
  // Image x right, y down, roll up: the bases stand at +-90 deg from up and open towards it.
  const double first_base = (0.0 - lever_deg) * rad;
  const double second_base = (180.0 + lever_deg) * rad;
  const double apex = apex_deg * rad;
  return {{0.0, 0.0, 0.0, index},
          {thickness, -apex, first_base, 1.0},
          {thickness + gap, apex, second_base, index},
          {2.0 * thickness + gap, 0.0, 0.0, 1.0}};
}

struct Verdict {
  double rms_waves;
  double strehl;
  Vec best;  // focus
  double spot_um;
};

// Rms of the path about the point where it is least, found by Gauss-Newton on the rays themselves.
Verdict judge(const std::vector<Traced>& rays, const std::vector<std::array<double, 2>>& pupil, Vec focus,
              double focal_ratio, double wavelength_mm) {
  constexpr double kSphere = 1e6;  // mm before the image
  const std::size_t count = rays.size();
  std::vector<double> w(count);
  for (int round = 0; round < 6; ++round) {
    std::array<std::vector<double>, 4> basis;
    for (std::size_t i = 0; i < count; ++i) {
      // Back along the ray from where it is to the sphere of radius kSphere about the focus.
      const Vec from = plus(rays[i].at, -1.0, focus);
      const double b = inner(from, rays[i].along);
      const double back = b + std::sqrt(b * b - (inner(from, from) - kSphere * kSphere));
      w[i] = (rays[i].path - (back - kSphere)) / wavelength_mm;
      const double x = pupil[i][0];
      const double y = pupil[i][1];
      basis[0].push_back(1.0);
      basis[1].push_back(x);
      basis[2].push_back(y);
      basis[3].push_back(x * x + y * y);
    }
    // Gram-Schmidt on the drawn rays.
    std::array<double, 4> amount{};
    for (std::size_t k = 0; k < 4; ++k) {
      for (std::size_t j = 0; j < k; ++j) {
        double cross = 0.0, own = 0.0;
        for (std::size_t i = 0; i < count; ++i) cross += basis[k][i] * basis[j][i], own += basis[j][i] * basis[j][i];
        for (std::size_t i = 0; i < count; ++i) basis[k][i] -= cross / own * basis[j][i];
      }
      double dot = 0.0, own = 0.0;
      for (std::size_t i = 0; i < count; ++i) dot += basis[k][i] * w[i], own += basis[k][i] * basis[k][i];
      amount[k] = dot / own;
      for (std::size_t i = 0; i < count; ++i) w[i] -= amount[k] * basis[k][i];
    }
    if (round == 5) break;
    focus = plus(focus, 1.0,
                 {2.0 * focal_ratio * amount[1] * wavelength_mm, 2.0 * focal_ratio * amount[2] * wavelength_mm,
                  8.0 * focal_ratio * focal_ratio * amount[3] * wavelength_mm});
  }
  double square = 0.0, sx = 0.0, sy = 0.0, sxy = 0.0;
  std::complex<double> peak = 0.0;
  for (std::size_t i = 0; i < count; ++i) {
    square += w[i] * w[i];
    peak += std::polar(1.0, 2.0 * std::numbers::pi * w[i]);
    const Vec at = plus(rays[i].at, (focus[2] - rays[i].at[2]) / rays[i].along[2], rays[i].along);
    sx += at[0];
    sy += at[1];
    sxy += std::pow(at[0] - focus[0], 2) + std::pow(at[1] - focus[1], 2);
  }
  const double n = static_cast<double>(count);
  const double spot = sxy / n - std::pow(sx / n - focus[0], 2) - std::pow(sy / n - focus[1], 2);
  return {std::sqrt(square / n), std::norm(peak) / (n * n), focus, std::sqrt(spot) * 1e3};
}

Verdict image(double apex_deg, double thickness, double gap, double lever_deg, double index, double to_focus,
              double focal_ratio, double obstruction, int count) {
  const double end = 2.0 * thickness + gap + to_focus;
  const Vec aim = {0.0, 0.0, end - 2.0 * thickness * (1.0 - 1.0 / index)};
  const auto train = train_of(apex_deg, thickness, gap, lever_deg, index);
  // Spread evenly along a spiral that turns by the golden angle from ray to ray.
  const double golden = std::numbers::pi * (3.0 - std::sqrt(5.0));
  const double inside = obstruction * obstruction;
  const double s = 0.5 / focal_ratio;
  std::vector<Traced> rays;
  std::vector<std::array<double, 2>> pupil;
  for (int i = 0; i < count; ++i) {
    const double r2 = inside + (1.0 - inside) * (i + 0.5) / count;
    const double x = std::sqrt(r2) * std::cos(golden * i);
    const double y = std::sqrt(r2) * std::sin(golden * i);
    const Vec along = {-s * x, -s * y, std::sqrt(1.0 - s * s * r2)};
    rays.push_back(through({plus(aim, -200.0, along), along, 0.0}, train));
    pupil.push_back({x, y});
  }
  return judge(rays, pupil, aim, focal_ratio, 550e-6);
}

}  // namespace by_brute_force

struct Case {
  double apex_deg;
  double marks;
  double focal_ratio;
};

TEST(PrismTrace, AgreesWithABruteForceCountOfSkewRays) {
  constexpr Case kCases[] = {{2.0, 3.0, 20.0}, {2.0, 10.0, 10.0}, {4.0, 6.0, 15.0}, {8.0, 3.0, 20.0}};
  for (const Case& c : kCases) {
    PrismPair pair;
    pair.apex = Angle::deg(c.apex_deg);
    const CorrectorPlace place{.cone = {.focal_ratio = c.focal_ratio, .obstruction = 0.34}};
    const ConeImage image = *traced_image(pair, both_at(c.marks), place, kGreen);
    const auto brute = by_brute_force::image(c.apex_deg, 4.0, 3.0, 9.0 * c.marks, refractive_index(pair.glass, kGreen),
                                             80.0, c.focal_ratio, 0.34, 5000);
    EXPECT_NEAR(image.rms_waves / brute.rms_waves, 1.0, 5e-4) << c.apex_deg << " " << c.marks;
    EXPECT_NEAR(image.spot_radius.um() / brute.spot_um, 1.0, 5e-4) << c.apex_deg << " " << c.marks;
    EXPECT_NEAR(image.strehl, brute.strehl, 4e-4) << c.apex_deg << " " << c.marks;
    EXPECT_NEAR(image.focus.x.um(), brute.best[0] * 1e3, 0.02) << c.apex_deg << " " << c.marks;
    EXPECT_NEAR(image.focus.y.um(), brute.best[1] * 1e3, 0.06) << c.apex_deg << " " << c.marks;
    EXPECT_NEAR(image.focus.z.um(), brute.best[2] * 1e3, 1.0) << c.apex_deg << " " << c.marks;
  }
}

// Turning the whole corrector turns the image with it and changes nothing else.
TEST(PrismTrace, TurnsWithTheRoll) {
  PrismPair pair;
  const SensorOffset up = *traced_shift(pair, both_at(6.0), {}, kGreen);
  const ConeImage image = *traced_image(pair, both_at(6.0), {}, kGreen);
  pair.roll = Angle::deg(130.0);
  const SensorOffset turned = *traced_shift(pair, both_at(6.0), {}, kGreen);
  const double s = sin(pair.roll);
  const double c = cos(pair.roll);
  EXPECT_NEAR(turned.x.um(), (c * up.x - s * up.y).um(), 1e-9);
  EXPECT_NEAR(turned.y.um(), (s * up.x + c * up.y).um(), 1e-9);
  EXPECT_NEAR(traced_image(pair, both_at(6.0), {}, kGreen)->rms_waves, image.rms_waves, 1e-9);
}

// Common practice: the corrector behaves better at longer focal ratios. The same work, the same aperture.
TEST(CorrectorAtWork, BehavesBetterAtLongerFocalRatios) {
  double before = 1.0;
  for (const double f : {8.0, 10.0, 15.0, 20.0, 30.0}) {
    const CorrectorPlace place{{f, 0.34}, Length::mm(203.0 * f), Length::mm(80.0)};
    const auto work = at_work({}, place, Angle::arcsec(1.54), kRed, kBlue, kGreen);
    ASSERT_TRUE(work && work->setting.enough) << f;
    EXPECT_LT(work->image.rms_waves, 0.85 * before) << f;
    before = work->image.rms_waves;
  }
}

TEST(CorrectorAtWork, OpenLeversCostMore) {
  const auto at = [](double marks) { return traced_image({}, both_at(marks), {}, kGreen)->rms_waves; };
  EXPECT_LT(at(0.0), at(1.0));
  EXPECT_LT(at(1.0), at(3.0));
  EXPECT_LT(at(3.0), at(6.0));
}

// Common practice: before the amplifier less prism is needed, behind it the cone is gentler. A 203 mm f/10, a
// telecentric amplifier of 2; the corrector 110 mm before the telescope's focus, or 80 mm before the sensor.
TEST(CorrectorAtWork, BothOrdersOfTheParts) {
  const CorrectorPlace before{{10.0, 0.34}, Length::mm(2030.0), Length::mm(110.0)};
  const CorrectorPlace behind{{20.0, 0.34}, Length::mm(4060.0), Length::mm(80.0)};
  for (const double air : {0.75, 1.54, 2.45}) {
    const auto first = at_work({}, before, Angle::arcsec(air), kRed, kBlue, kGreen);
    const auto second = at_work({}, behind, Angle::arcsec(air), kRed, kBlue, kGreen);
    EXPECT_LT(first->setting.marks, 0.5 * second->setting.marks) << air;
    EXPECT_LT(second->image.rms_waves, first->image.rms_waves) << air;
  }
}

// Common practice: the corrector spoils the image visibly only where the air spreads most, below about 30 degrees of
// altitude (there 1.54 arcsec from 450 to 650 nm): above, it stays inside Marechal's limit [BornWolf1999] 9.3 even at
// f/10.
TEST(CorrectorAtWork, IsHarmlessAboveThirtyDegrees) {
  for (const double air : {0.51, 1.06, 1.54}) {
    const CorrectorPlace place{{10.0, 0.34}, Length::mm(2030.0), Length::mm(80.0)};
    EXPECT_LT(at_work({}, place, Angle::arcsec(air), kRed, kBlue, kGreen)->image.rms_waves, 1.0 / 14.05) << air;
  }
}

TEST(CorrectorAtWork, LightThrownBackIsNotAnImage) {
  PrismPair pair;
  pair.apex = Angle::deg(50.0);
  EXPECT_FALSE(traced_shift(pair, both_at(0.0), {}, kGreen).has_value());
  EXPECT_FALSE(at_work(pair, {}, Angle::arcsec(1.0), kRed, kBlue, kGreen).has_value());
}

}  // namespace
}  // namespace halfarc
