// Places of Sun, Moon and planets against JPL Horizons, Meeus and the theories' own check lines.
#include <gtest/gtest.h>

#include "halfarc/sky/moon_series.h"
#include "halfarc/sky/place.h"
#include "halfarc/sky/planet_series.h"
#include "halfarc/sky/refraction.h"

namespace halfarc::sky {
namespace {

double apart_arcsec(Equatorial a, double ra_deg, double dec_deg) {
  return angle_between(direction(a.ra, a.dec), direction(Angle::deg(ra_deg), Angle::deg(dec_deg))).arcsec();
}

struct JplRow {
  const char* body;
  const char* utc;
  double ra, dec;  // astrometric, ICRF, topocentric, deg
  double azimuth, refracted_altitude;
  double apparent_ra, apparent_dec;  // of date, airless; 0 where the run did not ask for them
};

// Source: JPL Horizons, topocentric at 279 E, 29 N, 10 m, quoted in cosinekitty/astronomy generate/horizons/*.txt.
// Every fourteenth row of each body; the run used the weather of Saemundsson's formula.
constexpr JplRow kJpl[] = {
    {"Moon", "2012-01-04 00:00", 39.45078, 18.01228, 120.3074, 70.5495, 39.62627, 18.06578},
    {"Moon", "2016-08-10 00:00", 217.98089, -10.98621, 208.2501, 45.6739, 218.20343, -11.05649},
    {"Moon", "2021-03-17 00:00", 34.21505, 10.34352, 264.2612, 31.8312, 34.49034, 10.43834},
    {"Moon", "2025-10-22 00:00", 209.40270, -16.65342, 259.6393, -15.8740, 209.74905, -16.77795},
    {"Moon", "2030-05-29 00:00", 27.79911, 14.99218, 311.2145, -28.9857, 28.21007, 15.14109},
    {"Mercury", "2012-01-04 00:00", 263.23177, -22.78343, 261.2353, -34.3739, 0, 0},
    {"Mercury", "2016-08-10 00:00", 164.98600, 5.59538, 266.4178, 17.8286, 0, 0},
    {"Mercury", "2021-03-17 00:00", 333.83499, -12.75481, 272.8794, -31.2727, 0, 0},
    {"Mercury", "2025-10-22 00:00", 227.92349, -20.32688, 248.0612, -2.0180, 0, 0},
    {"Mercury", "2030-05-29 00:00", 41.96040, 13.00948, 299.2957, -20.2176, 0, 0},
    {"Venus", "2012-01-04 00:00", 320.35321, -17.35885, 240.1724, 14.7896, 0, 0},
    {"Venus", "2016-08-10 00:00", 157.50255, 10.99557, 274.9869, 13.8433, 0, 0},
    {"Venus", "2021-03-17 00:00", 355.05096, -3.70093, 270.9617, -8.4999, 0, 0},
    {"Venus", "2025-10-22 00:00", 189.54368, -2.44144, 283.0780, -26.4941, 0, 0},
    {"Venus", "2030-05-29 00:00", 29.16506, 9.80905, 305.8703, -31.7563, 0, 0},
    {"Mars", "2012-01-04 00:00", 172.58448, 6.49329, 43.1646, -44.0932, 0, 0},
    {"Mars", "2016-08-10 00:00", 240.04526, -23.50167, 177.2403, 37.4258, 0, 0},
    {"Mars", "2021-03-17 00:00", 65.15529, 22.96844, 263.3628, 63.9301, 0, 0},
    {"Mars", "2025-10-22 00:00", 227.50660, -18.03210, 250.2485, -1.2153, 0, 0},
    {"Mars", "2030-05-29 00:00", 64.44726, 21.67568, 294.0567, 1.9759, 0, 0},
    {"Jupiter", "2012-01-04 00:00", 28.66251, 10.45084, 159.6184, 70.4509, 28.82868, 10.51114},
    {"Jupiter", "2016-08-10 00:00", 174.51147, 3.59292, 259.5143, 25.0890, 174.71947, 3.50296},
    {"Jupiter", "2021-03-17 00:00", 322.47387, -15.43739, 275.9200, -42.3533, 322.75634, -15.34701},
    {"Jupiter", "2025-10-22 00:00", 116.00065, 21.35038, 15.8027, -37.4558, 116.38327, 21.28903},
    {"Jupiter", "2030-05-29 00:00", 228.29217, -16.72862, 118.4609, 13.8052, 228.73003, -16.84278},
    {"Saturn", "2012-01-04 00:00", 207.16781, -8.59566, 345.1734, -68.4065, 0, 0},
    {"Saturn", "2016-08-10 00:00", 248.14677, -20.27933, 167.1857, 39.6811, 0, 0},
    {"Saturn", "2021-03-17 00:00", 312.37276, -18.26576, 278.1644, -52.3117, 0, 0},
    {"Saturn", "2025-10-22 00:00", 357.27535, -3.89148, 117.2352, 33.6039, 0, 0},
    {"Saturn", "2030-05-29 00:00", 57.38396, 18.17340, 294.6202, -5.1671, 0, 0},
    {"Uranus", "2012-01-04 00:00", 0.95801, -0.37078, 217.9502, 54.5477, 0, 0},
    {"Uranus", "2016-08-10 00:00", 22.66319, 8.81172, 47.0636, -38.6015, 0, 0},
    {"Uranus", "2021-03-17 00:00", 35.75324, 13.77415, 267.1062, 34.7225, 0, 0},
    {"Uranus", "2025-10-22 00:00", 58.14889, 19.99931, 63.2833, -5.0332, 0, 0},
    {"Uranus", "2030-05-29 00:00", 76.47407, 22.90906, 289.7424, 12.0903, 0, 0},
    {"Neptune", "2012-01-08 00:00", 331.25236, -12.36042, 239.9158, 23.1403, 0, 0},
    {"Neptune", "2016-08-14 00:00", 342.72641, -8.27895, 91.8970, -12.9886, 0, 0},
    {"Sun", "2012-03-04 00:00", 344.93085, -6.43105, 267.3339, -7.7299, 0, 0},
    {"Sun", "2016-10-09 00:00", 194.64732, -6.25737, 270.2970, -13.0635, 0, 0},
    {"Sun", "2021-05-16 00:00", 52.72170, 19.03037, 291.4123, 1.3094, 0, 0},
    {"Sun", "2025-12-21 00:00", 268.91079, -23.43320, 253.1341, -18.3507, 0, 0},
    {"Sun", "2030-07-28 00:00", 126.90844, 19.11481, 290.1287, 3.2063, 0, 0},
};

TEST(JplHorizons, TopocentricPlacesPlanetsWithin1ArcsecMoonWithin5) {
  const Site site{Angle::deg(29.0), Angle::deg(279.0), Length::m(10.0)};
  for (const auto& row : kJpl) {
    SCOPED_TRACE(std::string(row.body) + " " + row.utc);
    const Body body = *parse_body(row.body);
    const Place p = place_of(body, observe_from(site, *Utc::parse(row.utc)));
    // What is promised is 1" and 5"; what is asked here is what was measured on all 585 rows, and a little more.
    EXPECT_LT(apart_arcsec(p.astrometric, row.ra, row.dec), body == Body::uranus ? 0.40 : 0.13);
    if (row.apparent_ra != 0.0) {
      EXPECT_LT(apart_arcsec(p.apparent, row.apparent_ra, row.apparent_dec), 0.16);
    }
    EXPECT_NEAR(wrap_signed(p.horizontal.azimuth - Angle::deg(row.azimuth)).deg() * cos(p.horizontal.altitude), 0.0,
                0.002);
    if (row.refracted_altitude > 1.0) {
      const Angle seen = p.horizontal.altitude + saemundsson_refraction(p.horizontal.altitude);
      EXPECT_NEAR(seen.deg(), row.refracted_altitude, 0.002);
    }
  }
}

// Source: Meeus, Astronomical Algorithms, 2nd ed., example 33.a: Venus, 1992 December 20.0 TD, apparent geocentric
// place 21h04m41.454s, -18d53'16.84".
TEST(Meeus, Example33aVenusApparentPlace) {
  const Observer centre = observe_from_earth_centre(utc_from_tt(Tt::julian_date(2448976.5)));
  const Place p = place_of(Body::venus, centre);
  EXPECT_LT(
      apart_arcsec(p.apparent, 15.0 * (21.0 + 4.0 / 60.0 + 41.454 / 3600.0), -(18.0 + 53.0 / 60.0 + 16.84 / 3600.0)),
      0.15);
}

// Source: Meeus, example 32.a: radius 0.724602 au the same day; vsop87.chk: Mars at JD 2415020.0, R = 1.4218777718 au.
TEST(Meeus, Example32aAndVsop87CheckRadii) {
  EXPECT_NEAR(norm(heliocentric_planet(Body::venus, Tt::julian_date(2448976.5))), 0.724602, 6e-7);
  EXPECT_NEAR(norm(heliocentric_planet(Body::mars, Tt::julian_date(2415020.0))), 1.4218777718, 4e-8);
}

// Source: Meeus, example 47.a: the Moon, 1992 April 12.0 TD, lambda 133.162655, beta -3.229126 deg, 368409.7 km. Trap:
// the example sums the largest terms only and is good to about 10" in longitude, 4" in latitude (its author says so):
// the full theory must agree to that, and need not agree to the example's last digit, which meeus_moon_test.cpp
// reproduces with the example's own series.
TEST(Meeus, Example47aMoonWithinTheAccuracyOfItsShortSeries) {
  const MoonEcliptic m = moon_mean_ecliptic_of_date(Tt::julian_date(2448724.5));
  EXPECT_NEAR((m.longitude - Angle::deg(133.162655)).arcsec(), 0.0, 10.0);
  EXPECT_NEAR((m.latitude - Angle::deg(-3.229126)).arcsec(), 0.0, 4.0);
  EXPECT_NEAR(m.distance_km, 368409.7, 5.0);
  const Place p = place_of(Body::moon, observe_from_earth_centre(utc_from_tt(Tt::julian_date(2448724.5))));
  EXPECT_LT(apart_arcsec(p.apparent, 134.688470, 13.768368), 10.0);
}

// Source: ELP/MPP02 fitted to DE405, rectangular check line at JD 2500000.5, mean ecliptic and equinox J2000, km:
// quoted in commenthol/astronomia test/elp.test.js.
TEST(ElpMpp02, CheckLineOfTheTheory) {
  const Vec3 check = {274034.59103, 252067.53689, -18998.75519};
  const Vec3 icrf = geocentric_moon(Tt::julian_date(2500000.5)) * (kMetresPerAu / 1000.0);
  EXPECT_NEAR(norm(icrf), norm(check), 0.05);
  // Back to the ecliptic by the obliquity alone; the 0.055" between the origins of longitude are 0.1 km here.
  const Angle obliquity = Angle::arcsec(84381.411);
  const Vec3 ecliptic = {icrf.x, cos(obliquity) * icrf.y + sin(obliquity) * icrf.z,
                         cos(obliquity) * icrf.z - sin(obliquity) * icrf.y};
  EXPECT_LT(norm(ecliptic - check), 0.2);
}

// Source: JPL Horizons heliocentric vectors (ICRF, au), quoted in cosinekitty/astronomy generate/heliostate. Printed
// there to 16 digits; 1e-6 of the distance is 0.2".
TEST(JplHorizons, MercuryHeliocentricVectors) {
  const struct {
    double jd;
    Vec3 jpl;
  } rows[] = {{2455203.5, {-1.467221226525513e-1, 2.445905328480527e-1, 1.458675183080941e-1}},
              {2456227.5, {2.855160562781056e-1, -2.572313221026902e-1, -1.670100529615364e-1}}};
  for (const auto& row : rows) {
    const Vec3 ours = heliocentric_planet(Body::mercury, Tt::julian_date(row.jd));
    EXPECT_LT(norm(ours - row.jpl) / norm(row.jpl), 2.5e-7);
  }
}

// Source: JPL Horizons refracted minus airless elevation, quoted as above: airless altitude deg, refraction in
// arcminutes.
TEST(JplHorizons, RefractionIsSaemundssons) {
  const double rows[][2] = {{0.0225, 28.788}, {0.4228, 25.572}, {0.8358, 22.746}, {85.5427, 0.078}};
  for (const auto& row : rows) EXPECT_NEAR(saemundsson_refraction(Angle::deg(row[0])).arcmin(), row[1], 0.01);
}

// Source: ERFA refco.c, the ray-traced column of its table: sea level, 1005 hPa, 280.15 K, 80 %, 0.574 um; observed
// zenith distance deg, refraction arcsec.
TEST(ErfaRefco, RefractionAgainstTheRayTrace) {
  const Weather weather{Pressure::hpa(1005.0), Temperature::kelvin(280.15), 0.8};
  const double rows[][2] = {{10, 10.27}, {30, 33.61}, {45, 58.16}, {60, 100.51}, {70, 158.63}, {78, 267.44}};
  for (const auto& row : rows) {
    const Angle true_altitude = Angle::deg(90.0 - row[0]) - Angle::arcsec(row[1]);
    EXPECT_NEAR(refraction(true_altitude, weather, Length::nm(574.0)).arcsec(), row[1], 0.2);
  }
}

// Source: Kasten & Young 1989, values of the formula computed elsewhere: 60 deg 1.1540, 30: 1.9943, 10: 5.586,
// 0: 37.92.
TEST(KastenYoung1989, Airmass) {
  const double rows[][2] = {{90, 0.9997}, {60, 1.1540}, {45, 1.4126}, {30, 1.9943}, {20, 2.9031}, {15, 3.8129}};
  for (const auto& row : rows) EXPECT_NEAR(airmass(Angle::deg(row[0])), row[1], 6e-5);
  EXPECT_NEAR(airmass(Angle::deg(10.0)), 5.586, 6e-4);
  EXPECT_NEAR(airmass(Angle::deg(0.0)), 37.92, 6e-3);
}

}  // namespace
}  // namespace halfarc::sky
