// Jupiter's great moons: JPL's vectors, Meeus's example, and a second theory against the one that halfarc uses.
#include "halfarc/sky/galilean.h"

#include <erfa.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "halfarc/sky/saturn_moons.h"

namespace halfarc::sky {
namespace {

// The second route: Lieske's E5, as Meeus prints it.
struct E5Term {
  char coordinate;
  int moon;
  double amplitude;
  std::array<int, 17> factor;
  double inequality, constant;
};
constexpr E5Term kE5[] = {
#include "galilean_e5.inc"
};

// data: [Meeus1998] ch. 44, E5: arguments in degrees and degrees per day from JDE 2443000.5; mean distances in the
// theory's radius of Jupiter, 71 398 km.
constexpr double kEpoch = 2443000.5;
constexpr double kArguments[17][2] = {{106.07719, 203.48895579}, {175.73161, 101.374724735}, {120.55883, 50.317609207},
                                      {84.44459, 21.571071177},  {97.0881, 0.16138586},      {154.8663, 0.04726307},
                                      {188.1840, 0.00712734},    {335.2868, 0.00184000},     {312.3346, -0.13279386},
                                      {100.4411, -0.03263064},   {119.1942, -0.00717703},    {322.6186, -0.00175934},
                                      {316.5182, -0.00000208},   {13.469942, 0.0},           {30.23756, 0.0830925701},
                                      {31.97853, 0.0334597339},  {199.6766, 0.17379190}};
constexpr std::array kMeanDistance = {5.90569, 9.39657, 14.98832, 26.36273};

struct Orbit {
  double longitude, latitude, radius;  // rad, rad, radii of Jupiter
};

struct Arguments {
  std::array<double, 17> value;  // deg
};

Arguments arguments_at(double t) {
  Arguments a{};
  for (std::size_t i = 0; i < 17; ++i) a.value[i] = kArguments[i][0] + kArguments[i][1] * t;
  a.value[14] += 0.33033 * sin(Angle::deg(163.679 + 0.0010512 * t)) + 0.03439 * sin(Angle::deg(34.486 - 0.0161731 * t));
  return a;
}

// Sums one coordinate of one moon; `inequality` is the moon's own sum of longitude terms, in degrees.
double sum(const Arguments& a, char coordinate, int moon, double inequality) {
  double total = 0.0;
  for (const auto& term : kE5) {
    if (term.coordinate != coordinate || term.moon != moon) continue;
    double argument = term.constant + term.inequality * inequality;
    for (std::size_t i = 0; i < 17; ++i) {
      if (term.factor[i] != 0) argument += term.factor[i] * a.value[i];
    }
    total += term.amplitude * (coordinate == 'R' ? cos(Angle::deg(argument)) : sin(Angle::deg(argument)));
  }
  return total;
}

Orbit orbit_of(const Arguments& a, int moon) {
  const auto index = static_cast<std::size_t>(moon - 1);
  const double inequality = sum(a, 'L', moon, 0.0);
  return {(a.value[index] + inequality) * Angle::kRadPerDeg, std::atan(sum(a, 'B', moon, inequality)),
          kMeanDistance[index] * (1.0 + sum(a, 'R', moon, inequality))};
}

Vec3 turned_x(Vec3 v, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  return {v.x, v.y * c - v.z * s, v.y * s + v.z * c};
}

Vec3 turned_z(Vec3 v, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  return {v.x * c - v.y * s, v.x * s + v.y * c, v.z};
}

struct E5 {
  std::array<Vec3, 4> moons;  // radii of Jupiter of the theory, ICRF
  std::array<double, 4> radius;
  Vec3 axis;  // of the theory's equator of Jupiter
};

E5 e5(Tt tt) {
  const double jde = tt.julian_date();
  const Arguments a = arguments_at(jde - kEpoch);
  // From the equinox of 1950 of the theory to that of date.
  const double c1950 = (jde - 2433282.423) / 36525.0, c1900 = (jde - 2415020.0) / 36525.0, c = tt.centuries();
  const double precession = (1.3966626 + 0.0003088 * c1950) * c1950 * Angle::kRadPerDeg;
  const double tilt = (3.120262 + 0.0006 * c1900) * Angle::kRadPerDeg;
  const double psi = a.value[12] * Angle::kRadPerDeg + precession;
  // data: Jupiter's orbit on the ecliptic of date, [Meeus1998] table 31.A.
  const double node = (100.464407 + c * (1.0209774 + c * 0.00040315)) * Angle::kRadPerDeg;
  const double inclination = (1.303267 + c * (-0.0054965 + c * 0.00000466)) * Angle::kRadPerDeg;
  double m[3][3];
  eraEcm06(Tt::kJ2000JulianDate, tt.days(), m);
  const Rotation3 ecliptic_from_icrf = {
      {m[0][0], m[0][1], m[0][2]}, {m[1][0], m[1][1], m[1][2]}, {m[2][0], m[2][1], m[2][2]}};
  const Rotation3 icrf_from_ecliptic = ecliptic_from_icrf.transposed();
  const auto icrf = [&](Vec3 equator) {
    const Vec3 orbit = turned_z(turned_x(equator, tilt), psi - node);
    return icrf_from_ecliptic * turned_z(turned_x(orbit, inclination), node);
  };
  E5 result;
  for (int i = 1; i <= 4; ++i) {
    const Orbit o = orbit_of(a, i);
    const auto k = static_cast<std::size_t>(i - 1);
    result.moons[k] = icrf(o.radius * direction(Angle::rad(o.longitude + precession - psi), Angle::rad(o.latitude)));
    result.radius[k] = o.radius;
  }
  result.axis = icrf({0.0, 0.0, 1.0});
  return result;
}

// Source: Meeus, Astronomical Algorithms, example 44.b: 1992 December 16, 0h UT, in radii of Jupiter: X
// -3.4502 7.4418 1.2011 7.0720, Y 0.2137 0.2753 0.5900 1.0290; Z of the ports -4.8190 -5.7471 -14.9406 -25.2244
// (positive away from the Earth). Traps: ports of the book differ by 1e-4; the theory's radius is 71 398 km, not the 71
// 492 km of today; the axis is the theory's own.
TEST(Meeus, Example44bByTheSecondRoute) {
  const Observer centre = observe_from_earth_centre(utc_from_tt(Tt::julian_date(2448972.50068)));
  const Place jupiter = place_of(Body::jupiter, centre);
  const E5 theory = e5(centre.tt - jupiter.light_time);
  const Vec3 u = unit(jupiter.from_observer);
  const Vec3 north = unit(theory.axis - dot(theory.axis, u) * u), west = cross(u, north);
  const double x[] = {-3.4502, 7.4418, 1.2011, 7.0720}, y[] = {0.2137, 0.2753, 0.5900, 1.0290};
  const double z[] = {-4.8190, -5.7471, -14.9406, -25.2244};
  const double light[] = {17295.0, 21819.0, 27558.0, 36548.0};  // how far a moon moves while light crosses its orbit
  for (std::size_t i = 0; i < 4; ++i) {
    const Vec3 m = theory.moons[i];
    const double away = dot(m, u), across = dot(m, west);
    const double seen = across + std::abs(away) / light[i] * std::sqrt(1.0 - std::pow(across / theory.radius[i], 2));
    const double scale = 1.0 / (1.0 + away / 2095.0 / in_astronomical_units(jupiter.distance));
    EXPECT_NEAR(seen * scale, x[i], 2e-4) << i;
    EXPECT_NEAR(dot(m, north) * scale, y[i], 2e-4) << i;
    EXPECT_NEAR(away, z[i], 2e-4) << i;
  }
}

// The same instant by the theory that halfarc uses, from today's radius to that of the example: 0.005 radii are 360 km,
// 0.09".
TEST(Meeus, Example44bByTheTheoryInUse) {
  const Observer centre = observe_from_earth_centre(utc_from_tt(Tt::julian_date(2448972.50068)));
  const auto seen = galilean_offsets(place_of(Body::jupiter, centre), centre);
  const double x[] = {-3.4502, 7.4418, 1.2011, 7.0720}, y[] = {0.2137, 0.2753, 0.5900, 1.0290};
  const double radius = 71492.0 / 71398.0;
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_NEAR(seen[i].x * radius, x[i], 0.008) << i;
    EXPECT_NEAR(seen[i].y * radius, y[i], 0.008) << i;
  }
}

// E5 and L1.2 come from different fits of different observations; from 1950 to 2036 they keep within 1000 km (Callisto
// 1700 km), 0.3" at opposition, after the radius of E5 is taken 19 km smaller (its orbits are 2.7e-4 too wide against
// JPL's).
TEST(SecondTheory, E5AgreesFrom1950To2036) {
  for (double jd = 2433000.5; jd < 2465000.0; jd += 317.3) {
    const Tt t = Tt::julian_date(jd);
    const auto ours = galilean_from_jupiter(t);
    const E5 theirs = e5(t);
    for (std::size_t i = 0; i < 4; ++i) {
      const double km = norm(ours[i] * (kMetresPerAu / 1000.0) - theirs.moons[i] * 71379.0);
      EXPECT_LT(km, i == 3 ? 1800.0 : 1100.0) << i << " " << jd;
    }
  }
}

struct VectorRow {
  std::size_t moon;
  double jd;
  Vec3 jpl;
};
// Source: JPL Horizons, jovicentric geometric, ICRF, au, quoted in cosinekitty/astronomy
// generate/jupiter_moons/horizons (every fourth of the rows kept there).
constexpr VectorRow kJplMoons[] = {
    {0, 2455205.0, {1.744487214438557E-03, -2.009066409719770E-03, -9.301034018062090E-04}},
    {0, 2456805.0, {4.447585988456799E-06, 2.535176767118077E-03, 1.209673034478825E-03}},
    {0, 2458405.0, {-1.735365410175488E-03, -2.005136154165623E-03, -9.840413787261778E-04}},
    {0, 2460005.0, {2.722613197394960E-03, 6.518594051585075E-04, 3.559762580092451E-04}},
    {0, 2461605.0, {-2.584929190396755E-03, 1.005609144552663E-03, 4.380782063510851E-04}},
    {1, 2455405.0, {-4.236872197930763E-03, -1.244283996118624E-03, -6.358435685143463E-04}},
    {1, 2457005.0, {3.556998249564320E-03, 2.456060307479468E-03, 1.250504323597145E-03}},
    {1, 2458605.0, {-2.390993038289254E-03, -3.439509223271868E-03, -1.718258655785723E-03}},
    {1, 2460205.0, {8.934378589769786E-04, 3.989168561833989E-03, 1.918240771812435E-03}},
    {1, 2461805.0, {6.536740244446921E-04, -4.015960411840661E-03, -1.867260218876859E-03}},
    {2, 2455205.0, {3.292051062453753E-03, 5.721986934319544E-03, 2.786653871050529E-03}},
    {2, 2456805.0, {2.507262377043056E-03, -6.050194273083975E-03, -2.862187750810430E-03}},
    {2, 2458405.0, {-6.688661976657026E-03, 2.374175803749939E-03, 1.038796629596373E-03}},
    {2, 2460005.0, {6.356971519031781E-03, 2.908646231914012E-03, 1.493089027748657E-03}},
    {2, 2461605.0, {-1.851118940255890E-03, -6.219403913985476E-03, -3.013952910939913E-03}},
    {3, 2455405.0, {-1.265214601866641E-02, -6.303751024634204E-04, -4.847400267721352E-04}},
    {3, 2457005.0, {-9.374213845772205E-03, 7.733437201960853E-03, 3.509781200464787E-03}},
    {3, 2458605.0, {-4.037632390338703E-04, 1.137338835685197E-02, 5.357244064792832E-03}},
    {3, 2460205.0, {8.817902640504929E-03, 7.978600089100984E-03, 3.890618516643914E-03}},
    {3, 2461805.0, {1.248805652878986E-02, -4.223299820073551E-04, -1.461437228025685E-05}},
};

TEST(JplHorizons, GalileanVectors) {
  const double worst[] = {200.0, 200.0, 300.0, 720.0};  // km; of all 78 rows 161, 155, 269 and 684
  for (const auto& row : kJplMoons) {
    const Vec3 ours = galilean_from_jupiter(Tt::julian_date(row.jd))[row.moon];
    EXPECT_LT(norm(ours - row.jpl) * kMetresPerAu / 1000.0, worst[row.moon]) << row.moon << " " << row.jd;
  }
}

// Source: Meeus ch. 44, exercise: 1988 November 23: Ganymede (III) in conjunction with the planet's centre at 07:28 UT,
// X 0.0032, Y -0.8042; Callisto (IV) at 05:15 UT, X 0.0002, Y +1.3990.
TEST(Meeus, Chapter44ExerciseConjunctions) {
  const struct {
    const char* utc;
    std::size_t moon;
    double x, y;
  } rows[] = {{"1988-11-23T07:28:00Z", 2, 0.0032, -0.8042}, {"1988-11-23T05:15:00Z", 3, 0.0002, 1.3990}};
  const auto seen = [](Utc at, std::size_t moon) {
    const Observer centre = observe_from_earth_centre(at);
    return galilean_offsets(place_of(Body::jupiter, centre), centre)[moon];
  };
  for (const auto& row : rows) {
    const Utc printed = *Utc::parse(row.utc);
    const MoonOffset here = seen(printed, row.moon), later = seen(printed + Duration::minutes(1.0), row.moon);
    EXPECT_NEAR(here.x, row.x, 0.012) << row.utc;  // 1 min is 0.009 radii for Ganymede
    EXPECT_NEAR(here.y, row.y, 0.005) << row.utc;
    EXPECT_NEAR(-here.x / (later.x - here.x), 0.0, 1.0) << row.utc;  // minutes from the printed one to ours
  }
}

// Source: Meeus, example 46.a: Saturn's moons, 1999 September 20, 0h TD (JDE 2451439.50074), X and Y in radii of
// Saturn, Mimas to Iapetus. Trap: the theory's radius is 60 330 km, today's 60 268; its axis is the ring's pole of the
// time.
TEST(Meeus, Example46aSaturnsMoons) {
  const Observer centre = observe_from_earth_centre(utc_from_tt(Tt::julian_date(2451439.50074)));
  const auto seen = saturn_moon_offsets(place_of(Body::saturn, centre), centre);
  const double x[] = {3.102, 3.823, 4.027, -5.365, -0.972, 14.568, -18.001, -48.760};
  const double y[] = {-0.204, 0.318, -1.061, -1.148, -3.136, 4.738, -5.328, 4.137};
  const double radius = 60268.0 / 60330.0;
  for (std::size_t i = 0; i < 8; ++i) {
    EXPECT_NEAR(seen[i].x * radius, x[i], 0.0015) << i;
    EXPECT_NEAR(seen[i].y * radius, y[i], 0.001 + 1e-4 * std::hypot(x[i], y[i])) << i;  // an axis 0.006 deg apart
  }
}

// The same by the book's way: our vectors over the theory's own axis and radius, and its two corrections for the light
// that crosses the orbits. Then the printed digits come out.
TEST(MeeusByItsConstants, Example46aSaturnsMoons) {
  const Observer centre = observe_from_earth_centre(utc_from_tt(Tt::julian_date(2451439.50074)));
  const Place saturn = place_of(Body::saturn, centre);
  const auto moons = saturn_moons_from_saturn(centre.tt - saturn.light_time);
  double m[3][3];
  eraEcm06(2433282.423, 0.0, m);
  const Rotation3 ecliptic_of_1950 = {
      {m[0][0], m[0][1], m[0][2]}, {m[1][0], m[1][1], m[1][2]}, {m[2][0], m[2][1], m[2][2]}};
  const Angle tilt = Angle::deg(28.0817), node = Angle::deg(168.8112);  // the plane of the ring
  const Vec3 axis = ecliptic_of_1950.transposed() * direction(node - Angle::deg(90.0), Angle::deg(90.0) - tilt);
  const Vec3 u = unit(saturn.from_observer), north = unit(axis - dot(axis, u) * u), west = cross(u, north);
  const double x[] = {3.102, 3.823, 4.027, -5.365, -0.972, 14.568, -18.001, -48.760};
  const double y[] = {-0.204, 0.318, -1.061, -1.148, -3.136, 4.738, -5.328, 4.137};
  const double light[] = {20947.0, 23715.0, 26382.0, 29876.0, 35313.0, 53800.0, 59222.0, 91820.0};
  for (std::size_t i = 0; i < 8; ++i) {
    const Vec3 v = moons[i] * (kMetresPerAu / 1000.0 / 60330.0);
    const double away = dot(v, u), across = dot(v, west);
    const double seen = across + std::abs(away) / light[i] * std::sqrt(1.0 - std::pow(across / norm(v), 2));
    const double scale = 1.0 / (1.0 + away / 2475.0 / in_astronomical_units(saturn.distance));
    EXPECT_NEAR(seen * scale, x[i], 0.0005) << i;
    EXPECT_NEAR(dot(v, north) * scale, y[i], 0.0005) << i;
  }
}

}  // namespace
}  // namespace halfarc::sky
