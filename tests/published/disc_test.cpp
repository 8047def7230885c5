// The look of the discs against Meeus's examples and Mallama & Hilton's cases.
#include "halfarc/sky/disc.h"

#include <gtest/gtest.h>

#include "halfarc/sky/magnitude.h"
#include "halfarc/sky/moon_face.h"
#include "halfarc/sky/saturn_ring.h"

namespace halfarc::sky {
namespace {

struct Seen {
  Observer centre;
  Place place;
  Disc disc;
};

Seen from_earth_centre(Body body, double jde) {
  Seen s;
  s.centre = observe_from_earth_centre(utc_from_tt(Tt::julian_date(jde)));
  s.place = place_of(body, s.centre);
  s.disc = disc_of(body, s.place, s.centre);
  return s;
}

// The position angle of the greatest defect of illumination, Meeus's Q, is opposite the bright limb.
Angle defect_angle(const Disc& d) { return wrap_positive(d.bright_limb + Angle::deg(180.0)); }

// Source: Meeus, Astronomical Algorithms, 2nd ed., example 42.a: Mars, 1992 November 9, 0h UT. Trap: the central
// meridian differs by 0.02 deg because the zero of W has been measured anew since (176.630 then, 176.050 and its sines
// now).
TEST(Meeus, Example42aMars) {
  const Seen s = from_earth_centre(Body::mars, 2448935.500683);
  EXPECT_NEAR(s.disc.sub_observer.planetocentric_latitude.deg(), 12.44, 0.005);
  EXPECT_NEAR(s.disc.sub_solar.planetocentric_latitude.deg(), -2.76, 0.005);
  EXPECT_NEAR(s.disc.sub_observer.in(LongitudeSystem::one)->deg(), 111.55, 0.025);
  EXPECT_NEAR(s.disc.sub_observer.in(LongitudeSystem::one)->deg(), 111.530, 0.002);  // WGCCRE 2015, computed elsewhere
  EXPECT_NEAR(s.disc.pole_angle.deg(), 347.64, 0.005);
  EXPECT_NEAR(defect_angle(s.disc).deg(), 279.91, 0.005);
  EXPECT_NEAR(s.disc.equatorial_diameter.arcsec(), 10.75, 0.01);  // the example uses a mean radius, 4.68" at 1 au
  EXPECT_NEAR(s.disc.illuminated_fraction, 0.9012, 0.00005);
  EXPECT_NEAR((1.0 - s.disc.illuminated_fraction) * s.disc.equatorial_diameter.arcsec(), 1.06, 0.005);
}

// Source: Meeus, example 43.a: Jupiter, 1992 December 16, 0h UT: D_E -2.48, D_S -2.20, omega I 268.06, omega II 72.74,
// P 24.80. Traps: the omegas hold a correction for the phase (+0.429 deg); D_E is planetocentric; and for system II the
// report now prints W0 = 43.3 where the example has 43.36, so that 0.06 deg remain.
TEST(Meeus, Example43aJupiter) {
  const Seen s = from_earth_centre(Body::jupiter, 2448972.50068);
  const SubPoint& seen = s.disc.sub_observer;
  EXPECT_NEAR(seen.planetocentric_latitude.deg(), -2.48, 0.005);
  EXPECT_NEAR(s.disc.sub_solar.planetocentric_latitude.deg(), -2.20, 0.005);
  EXPECT_NEAR(s.disc.pole_angle.deg(), 24.80, 0.005);
  const auto with_phase = [&](LongitudeSystem system) {
    const Angle lead = wrap_signed(*s.disc.sub_solar.in(system) - *seen.in(system));
    return phase_corrected(*seen.in(system), s.disc.phase_angle, lead > Angle::deg(0.0)).deg();
  };
  EXPECT_NEAR(with_phase(LongitudeSystem::one), 268.06, 0.005);
  EXPECT_NEAR(with_phase(LongitudeSystem::two) + 0.06, 72.74, 0.005);
  // Geometric, computed from the 2015 report by an independent program: 267.632, 72.252, 349.608.
  EXPECT_NEAR(seen.in(LongitudeSystem::one)->deg(), 267.632, 0.001);
  EXPECT_NEAR(seen.in(LongitudeSystem::two)->deg(), 72.252, 0.001);
  EXPECT_NEAR(seen.in(LongitudeSystem::three)->deg(), 349.608, 0.001);
}

// Source: Meeus, example 45.a: Saturn's ring, 1992 December 16, 0h UT: B 16.442, B' 14.679, dU 4.198, P 6.741,
// a 35.87", b 10.15". Traps: the example's pole comes from an older plane of the ring, 0.03 deg from the one that the
// spacecraft gave and the report of 2015 prints; and its outer edge of A is 136 115 km (375.35" at 1 au).
TEST(Meeus, Example45aSaturnsRing) {
  const Seen s = from_earth_centre(Body::saturn, 2448972.50068);
  const SaturnRing r = saturn_ring(s.place, s.disc, s.centre);
  EXPECT_NEAR(r.tilt.deg(), 16.442, 0.005);
  EXPECT_NEAR(r.sun_tilt.deg(), 14.679, 0.005);
  EXPECT_NEAR(r.longitude_lead.deg(), 4.198, 0.005);
  EXPECT_NEAR(r.pole_angle.deg(), 6.741, 0.03);
  const double older = 136115.0 / kOuterEdgeOfA.km();
  EXPECT_NEAR(r.major_axis.arcsec() * older, 35.87, 0.005);
  EXPECT_NEAR(r.minor_axis.arcsec() * older, 10.15, 0.005);
  EXPECT_TRUE(r.lit_face_seen);
  // With the example's own plane of the ring the same geometry gives its last digits. Meeus (45.1):
  // inclination 28.075216 - 0.012998 T, node 169.508470 + 1.394681 T, on the ecliptic of date; obliquity 23.44 deg
  // less 46.8" a century.
  const double t = (2448972.50068 - 2451545.0) / 36525.0;
  const Angle inclination = Angle::deg(28.075216 - 0.012998 * t), node = Angle::deg(169.508470 + 1.394681 * t);
  const Angle obliquity = Angle::arcsec(84381.4 - 46.84 * t);
  const Vec3 e = direction(node - Angle::deg(90.0), Angle::deg(90.0) - inclination);
  const Vec3 pole_of_date = {e.x, cos(obliquity) * e.y - sin(obliquity) * e.z,
                             sin(obliquity) * e.y + cos(obliquity) * e.z};
  const Vec3 pole = s.centre.date_from_icrf.transposed() * pole_of_date;
  EXPECT_NEAR(position_angle(s.place.from_observer, pole, s.centre).deg(), 6.741, 0.004);
  EXPECT_NEAR(angle_between(pole, s.place.from_observer).deg() - 90.0, 16.442,
              0.003);  // nutation, 0.003 deg, is left out
}

// Source: Meeus, example 53.a (and 48.a): the Moon, 1992 April 12, 0h TD: l -1.23, b +4.20, P 15.08, Sun at l0 67.90,
// b0 1.46, colongitude 22.10; bright limb 285.0. Trap: that theory speaks of the Moon's principal axes; maps, NASA and
// the report use the mean direction of the Earth, 0.02 deg away in latitude (78.56" [Archinal2011], from memory).
TEST(Meeus, Example53aLibration) {
  const Seen s = from_earth_centre(Body::moon, 2448724.5);
  const MoonFace f = moon_face(s.disc);
  EXPECT_NEAR(f.libration_longitude.deg(), -1.23, 0.005);
  EXPECT_NEAR((f.libration_latitude + Angle::arcsec(78.56)).deg(), 4.20, 0.006);
  EXPECT_NEAR(f.axis_angle.deg(), 15.08, 0.007);
  EXPECT_NEAR(f.sub_solar_longitude.deg(), 67.90, 0.005);
  EXPECT_NEAR(f.sub_solar_latitude.deg(), 1.46, 0.012);
  EXPECT_NEAR(f.colongitude.deg(), 22.10, 0.005);
  EXPECT_NEAR(s.disc.bright_limb.deg(), 285.0, 0.06);
  EXPECT_NEAR(s.disc.illuminated_fraction, 0.6786, 0.00015);  // 48.a; 8" of the short lunar series are 7e-5
  // 53.b: the Sun over longitude -20, latitude +9.7 stands at +2.318 deg.
  EXPECT_NEAR(sun_altitude_on_moon(f, Angle::deg(-20.0), Angle::deg(9.7)).deg(), 2.318, 0.006);
}

struct MoonRow {
  const char* utc;
  double l, b, axis, sun_longitude, sun_latitude, diameter;
};
// Source: NASA Scientific Visualization Studio, hourly geocentric tables 2020 to 2022, quoted in cosinekitty/astronomy
// generate/libration (every eleventh of the rows kept there). Axis from the north of J2000, which the page does not say
// but its right ascensions show.
constexpr MoonRow kMoon[] = {
    {"2020-01-01 00:00", 0.773, 6.360, 336.353, 114.557, -0.045, 1774.5},
    {"2020-03-29 22:00", -6.527, 2.561, 353.124, 112.594, -1.543, 1807.3},
    {"2020-06-26 20:00", -2.861, -6.609, 23.399, 106.996, 0.157, 1926.8},
    {"2020-09-23 18:00", 6.927, 0.381, 359.888, 100.930, 1.516, 1901.9},
    {"2020-12-21 16:00", 4.998, 6.803, 336.682, 98.376, -0.294, 1794.4},
    {"2021-03-18 19:00", -2.047, 1.869, 348.441, 118.530, -1.520, 1769.3},
    {"2021-06-15 17:00", -6.796, -6.550, 20.306, 113.343, 0.359, 1844.5},
    {"2021-09-12 15:00", 0.912, -0.126, 9.418, 107.045, 1.474, 1942.2},
    {"2021-12-10 13:00", 7.882, 6.689, 337.595, 104.030, -0.481, 1868.8},
    {"2022-03-06 16:00", 4.896, 2.350, 341.787, 136.597, -1.448, 1822.3},
    {"2022-06-03 14:00", -3.301, -6.209, 12.323, 131.927, 0.562, 1768.9},
    {"2022-08-31 12:00", -5.324, -2.153, 19.607, 125.452, 1.445, 1868.0},
    {"2022-11-28 10:00", 3.083, 6.719, 344.775, 121.892, -0.607, 1955.9},
};

TEST(NasaSvs, MoonLibrationAxisAndSun) {
  for (const auto& row : kMoon) {
    SCOPED_TRACE(row.utc);
    const Observer centre = observe_from_earth_centre(*Utc::parse(row.utc));
    Observer j2000 = centre;
    j2000.date_from_icrf = Rotation3{};
    const Place p = place_of(Body::moon, centre);
    const Disc d = disc_of(Body::moon, p, centre);
    const MoonFace f = moon_face(d);
    EXPECT_NEAR(wrap_signed(f.libration_longitude - Angle::deg(row.l)).deg(), 0.0, 0.01);
    EXPECT_NEAR(f.libration_latitude.deg(), row.b, 0.005);
    const Equatorial pole = north_pole(Body::moon, centre.tt);
    const Angle axis = position_angle(p.from_observer, direction(pole.ra, pole.dec), j2000);
    EXPECT_NEAR(wrap_signed(axis - Angle::deg(row.axis)).deg(), 0.0, 0.01);
    EXPECT_NEAR(wrap_signed(f.sub_solar_longitude - Angle::deg(row.sun_longitude)).deg(), 0.0, 0.01);
    EXPECT_NEAR(f.sub_solar_latitude.deg(), row.sun_latitude, 0.005);
    EXPECT_NEAR(d.equatorial_diameter.arcsec(), row.diameter, 0.08);
  }
}

struct PoleRow {
  Body body;
  const char* utc;
  double ra, dec;
};
// Source: JPL Horizons north pole, ICRF, quoted in cosinekitty/astronomy generate/axis (every eighth of the rows kept
// there). The run used the elements of 2009 for Mercury and Mars, and the Moon's integrated orientation.
constexpr PoleRow kJplPoles[] = {
    {Body::jupiter, "1970-01-01 00:00", 268.05885, 64.49452}, {Body::jupiter, "1996-04-14 00:00", 268.05763, 64.49580},
    {Body::jupiter, "2022-07-27 00:00", 268.05811, 64.49688}, {Body::jupiter, "2048-11-07 00:00", 268.05735, 64.49721},
    {Body::saturn, "1970-01-01 00:00", 40.59980, 83.53820},   {Body::saturn, "1996-04-14 00:00", 40.59034, 83.53715},
    {Body::saturn, "2022-07-27 00:00", 40.58088, 83.53610},   {Body::saturn, "2048-11-07 00:00", 40.57141, 83.53505},
    {Body::uranus, "1970-01-01 00:00", 257.31100, -15.17500}, {Body::uranus, "1996-04-14 00:00", 257.31100, -15.17500},
    {Body::uranus, "2022-07-27 00:00", 257.31100, -15.17500}, {Body::uranus, "2048-11-07 00:00", 257.31100, -15.17500},
    {Body::neptune, "1970-01-01 00:00", 299.14549, 42.97454}, {Body::neptune, "1996-04-14 00:00", 299.31002, 42.95130},
    {Body::neptune, "2022-07-27 00:00", 299.47741, 42.95723}, {Body::neptune, "2048-11-07 00:00", 299.63807, 42.99197},
    {Body::venus, "1970-01-01 00:00", 272.76000, 67.16000},   {Body::venus, "1996-04-14 00:00", 272.76000, 67.16000},
    {Body::venus, "2022-07-27 00:00", 272.76000, 67.16000},   {Body::venus, "2048-11-07 00:00", 272.76000, 67.16000},
    {Body::mars, "1970-01-01 00:00", 317.71326, 52.90477},    {Body::mars, "1996-04-14 00:00", 317.68537, 52.88876},
    {Body::mars, "2022-07-27 00:00", 317.65749, 52.87276},    {Body::mars, "2048-11-07 00:00", 317.62960, 52.85675},
    {Body::mercury, "1970-01-01 00:00", 281.01954, 61.41577}, {Body::mercury, "1996-04-14 00:00", 281.01092, 61.41448},
    {Body::mercury, "2022-07-27 00:00", 281.00230, 61.41319}, {Body::mercury, "2048-11-07 00:00", 280.99368, 61.41191},
    {Body::moon, "1970-01-01 00:00", 270.94328, 68.05519},    {Body::moon, "1996-04-14 00:00", 270.99848, 65.10220},
    {Body::moon, "2022-07-27 00:00", 266.92567, 67.59295},    {Body::moon, "2048-11-07 00:00", 273.73101, 66.26387},
};

TEST(JplHorizons, NorthPoles) {
  for (const auto& row : kJplPoles) {
    SCOPED_TRACE(std::string(name_of(row.body)) + " " + row.utc);
    const Equatorial ours = north_pole(row.body, tt_from_utc(*Utc::parse(row.utc)));
    const Vec3 jpl = direction(Angle::deg(row.ra), Angle::deg(row.dec));
    const double apart = angle_between(direction(ours.ra, ours.dec), jpl).deg();
    const bool older = row.body == Body::mercury || row.body == Body::mars;
    EXPECT_LT(apart, row.body == Body::moon ? 0.004 : older ? 0.002 : 1.2e-5);
  }
}

// Source: the report's rates turn into the periods known by heart: 9h50m30.0s, 9h55m40.6s, 9h55m29.7s,
// 10h39m22.4s, 24.622962 h.
TEST(Wgccre2015, SpinPeriods) {
  const auto hours = [](Body b, LongitudeSystem s) { return 24.0 * 360.0 / spin_rate(b, s).deg_per_day(); };
  const double second = 1.0 / 3600.0;
  EXPECT_NEAR(hours(Body::jupiter, LongitudeSystem::one), 9 + 50.0 / 60 + 30.0 * second, 0.1 * second);
  EXPECT_NEAR(hours(Body::jupiter, LongitudeSystem::two), 9 + 55.0 / 60 + 40.6 * second, 0.1 * second);
  EXPECT_NEAR(hours(Body::jupiter, LongitudeSystem::three), 9 + 55.0 / 60 + 29.7 * second, 0.1 * second);
  // Saturn's I and II, from memory: 844.3 and 812.0 deg a day, 10h14m00s and 10h38m25.4s.
  EXPECT_NEAR(hours(Body::saturn, LongitudeSystem::one), 10 + 14.0 / 60, 0.1 * second);
  EXPECT_NEAR(hours(Body::saturn, LongitudeSystem::two), 10 + 38.0 / 60 + 25.4 * second, 0.1 * second);
  EXPECT_NEAR(hours(Body::saturn, LongitudeSystem::three), 10 + 39.0 / 60 + 22.4 * second, 0.1 * second);
  EXPECT_NEAR(hours(Body::mars, LongitudeSystem::one), 24.622962, 1e-6);
}

struct MagnitudeCase {
  const char* name;
  Body body;
  double r, delta, phase, sun_latitude, observer_latitude, sun_longitude, observer_longitude, ecliptic_longitude, year;
  bool rings;
  double v;
};
// Source: the test cases of Mallama & Hilton 2018 (Astronomy and Computing 25, 10), as in the authors' Ap_Mag program
// and skyfield/tests/test_magnitudes_raw.py; the three of the Earth follow
// below. Mars's longitudes and
// Neptune's years from the same source.
constexpr MagnitudeCase kMagnitudes[] = {
    {"Mercury", Body::mercury, 0.310295423552, 1.32182643625754, 1.1677, 0, 0, 0, 0, 0, 2000, true, -2.477},
    {"Mercury", Body::mercury, 0.413629222334, 0.92644808718613, 90.1662, 0, 0, 0, 0, 0, 2000, true, 0.181},
    {"Mercury", Body::mercury, 0.448947624811, 0.56004973217883, 178.7284, 0, 0, 0, 0, 0, 2000, true, 7.167},
    {"Venus", Body::venus, 0.722722540169, 1.71607489554051, 1.3232, 0, 0, 0, 0, 0, 2000, true, -3.917},
    {"Venus", Body::venus, 0.721480714554, 0.37762511206278, 124.1348, 0, 0, 0, 0, 0, 2000, true, -4.916},
    {"Venus", Body::venus, 0.726166592736, 0.28889582420642, 179.1845, 0, 0, 0, 0, 0, 2000, true, -3.09},
    {"Jupiter", Body::jupiter, 5.446231815414, 6.44985867459088, 0.2446, 0, 0, 0, 0, 0, 2000, true, -1.667},
    {"Jupiter", Body::jupiter, 4.957681473205, 3.95393078136013, 0.3431, 0, 0, 0, 0, 0, 2000, true, -2.934},
    {"Jupiter", Body::jupiter, 5.227587855371, 5.23501920009381, 147.0989, 0, 0, 0, 0, 0, 2000, true, 0.79},
    {"Saturn(globe+rings)", Body::saturn, 9.014989659493, 8.03160470546889, 0.1055, -26.224864126755417,
     -26.332275658328648, 0, 0, 0, 2000, true, -0.552},
    {"Saturn(globe)", Body::saturn, 9.438629261423, 8.47601935508925, 1.8569, -8.016972372600742, -7.458535528992841, 0,
     0, 0, 2000, false, 0.567},
    {"Saturn(globe)", Body::saturn, 9.026035315474, 10.1321497654765, 169.8958, 29.097094546361053, -26.672903610681395,
     0, 0, 0, 2000, false, 5.206},
    {"Uranus", Body::uranus, 18.321003215845, 17.3229728525108, 0.041, -20.29, -20.28, 0, 0, 0, 2000, true, 5.381},
    {"Uranus", Body::uranus, 20.096361095266, 21.0888470145276, 0.0568, 1.02, 0.97, 0, 0, 0, 2000, true, 6.025},
    {"Uranus", Body::uranus, 19.38003071775, 11.1884243801383, 161.7728, -71.16, 55.11, 0, 0, 0, 2000, true, 8.318},
    {"Neptune", Body::neptune, 30.322109867761, 31.3091610098214, 0.0549, 0, 0, 0, 0, 0, 1970.8963, true, 7.997},
    {"Neptune", Body::neptune, 30.207767693725, 29.817237085753, 1.7741, 0, 0, 0, 0, 0, 1990.324, true, 7.827},
    {"Neptune", Body::neptune, 30.028181709541, 29.0158521665744, 0.0381, 0, 0, 0, 0, 0, 2009.6299, true, 7.701},
    {"Neptune", Body::neptune, 29.94386311956, 0.00940968942251, 88.4363, 0, 0, 0, 0, 0, 2018.1409, true, -8.296},
    {"Neptune", Body::neptune, 29.94363797622, 0.0158275718568, 176.9965, 0, 0, 0, 0, 0, 2018.1831, true, -4.203},
    {"Mars 2003-Aug-28", Body::mars, 1.381191244505, 0.37274381097911, 4.8948, 0, 0, 330.76, 329.27, 334.4996, 2000,
     true, -2.862},
    {"Mars 2004-Jul-19", Body::mars, 1.664150453905, 2.5899516451846, 11.5877, 0, 0, 64.66, 76.84, 147.3485, 2000, true,
     1.788},
    {"Mars 2018-Feb-11 (from Jupiter)", Body::mars, 1.591952180003, 3.85882552272013, 167.9, 0, 0, 221.11, 29.5,
     212.8886, 2000, true, 8.977},
};

TEST(MallamaHilton2018, TheAuthorsCasesWithinOneThousandth) {
  for (const auto& c : kMagnitudes) {
    SCOPED_TRACE(c.name);
    Illumination i;
    i.sun_distance_au = c.r;
    i.distance_au = c.delta;
    i.phase_angle = Angle::deg(c.phase);
    i.sub_solar_latitude = Angle::deg(c.sun_latitude);
    i.sub_observer_latitude = Angle::deg(c.observer_latitude);
    i.sub_solar_longitude = Angle::deg(c.sun_longitude);
    i.sub_observer_longitude = Angle::deg(c.observer_longitude);
    i.heliocentric_longitude = Angle::deg(c.ecliptic_longitude);
    i.year = c.year;
    i.rings = c.rings;
    const auto v = visual_magnitude(c.body, i);
    ASSERT_TRUE(v.has_value());
    EXPECT_NEAR(*v, c.v, 0.001);
  }
}

// Source: the same; with the 23 above these are all 26 cases.
TEST(MallamaHilton2018, TheEarthWithinOneThousandth) {
  EXPECT_NEAR(earth_magnitude(0.983331936476, 1.41317594650699, Angle::deg(8.7897)), -3.269, 0.001);
  EXPECT_NEAR(earth_magnitude(0.983356079811, 0.26526856764726, Angle::deg(4.1369)), -6.909, 0.001);
  EXPECT_NEAR(earth_magnitude(0.983356467727, 0.62933287342927, Angle::deg(175.6869)), 1.122, 0.001);
}

// Source: skyfield's tests (DE421, the same formulae): 2021 October 4, 0h UTC: Mercury 2.393, Venus -4.278, Jupiter
// -2.693, Saturn 0.508, Uranus 5.701, Neptune 7.690. Trap: that library puts the barycentre of the solar system in the
// Sun's place, which costs 0.03 mag for Venus; the test does the same, and then all agree to 1.1 thousandths.
TEST(MallamaHilton2018, WholeChainOnADateWithTheBarycentreForTheSun) {
  const Observer centre = observe_from_earth_centre(*Utc::parse("2021-10-04"));
  const struct {
    Body body;
    double v;
  } rows[] = {{Body::mercury, 2.393}, {Body::venus, -4.278}, {Body::jupiter, -2.693},
              {Body::saturn, 0.508},  {Body::uranus, 5.701}, {Body::neptune, 7.690}};
  for (const auto& row : rows) {
    Place p = place_of(row.body, centre);
    p.from_sun = p.from_observer + centre.position;
    p.sun_distance = astronomical_units(norm(p.from_sun));
    const Disc d = disc_of(row.body, p, centre);
    EXPECT_NEAR(visual_magnitude(row.body, illumination_of(row.body, p, d, centre)).value_or(99.0), row.v, 0.0015)
        << name_of(row.body);
  }
}

// Source: JPL Horizons S-brt, 2010 January 1 and 2014 December 6, mag per square arcsecond: Mercury 4.50, 1.78;
// Jupiter 5.34. JPL takes a circle for the disc of Jupiter: 0.073 mag of flattening are taken off here; magnitudes
// differ by up to 0.2.
TEST(JplHorizons, SurfaceBrightnessWithinTheMagnitudesOwnDifference) {
  const struct {
    Body body;
    const char* utc;
    double jpl;
  } rows[] = {
      {Body::mercury, "2010-01-01", 4.50}, {Body::mercury, "2014-12-06", 1.78}, {Body::jupiter, "2010-01-01", 5.34}};
  for (const auto& row : rows) {
    const Observer centre = observe_from_earth_centre(*Utc::parse(row.utc));
    const Place p = place_of(row.body, centre);
    const Disc d = disc_of(row.body, p, centre);
    const double ours = surface_magnitude(row.body, illumination_of(row.body, p, d, centre), d).value_or(99.0);
    EXPECT_NEAR(ours + (row.body == Body::jupiter ? 0.073 : 0.0), row.jpl, 0.2) << row.utc;
  }
}

}  // namespace
}  // namespace halfarc::sky
