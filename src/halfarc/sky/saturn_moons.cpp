#include "halfarc/sky/saturn_moons.h"

#include <erfa.h>

#include <cmath>

#include "halfarc/sky/figure.h"
#include "halfarc/sky/planet_series.h"

namespace halfarc::sky {
namespace {

// data: everything in this file that is a number: [Meeus1998] ch. 46; degrees, days and years from the epochs named
// below; distances in the theory's radius of Saturn, 60 330 km.
constexpr Length kRadius = Length::km(60330.0);
constexpr double kRingTilt = 28.0817, kRingNode = 168.8112;  // of the plane of the ring on the ecliptic of 1950

double sind(double degrees) { return sin(Angle::deg(degrees)); }
double cosd(double degrees) { return cos(Angle::deg(degrees)); }
double to_deg(double rad) { return rad / Angle::kRadPerDeg; }

// The many angles that the moons share, in degrees.
struct Times {
  double t1, t2, t3, t4, t5, t6, t7, t8, t9, t10, t11;
  double w0, w1, w2, w3, w4, w5, w6, w7, w8, e1;

  explicit Times(double jde) {
    t1 = jde - 2411093.0;
    t2 = t1 / 365.25;
    t3 = (jde - 2433282.423) / 365.25 + 1950.0;
    t4 = jde - 2411368.0;
    t5 = t4 / 365.25;
    t6 = jde - 2415020.0;
    t7 = t6 / 36525.0;
    t8 = t6 / 365.25;
    t9 = (jde - 2442000.5) / 365.25;
    t10 = jde - 2409786.0;
    t11 = t10 / 36525.0;
    w0 = 5.095 * (t3 - 1866.39);
    w1 = 74.4 + 32.39 * t2;
    w2 = 134.3 + 92.62 * t2;
    w3 = 42.0 - 0.5118 * t5;
    w4 = 276.59 + 0.5118 * t5;
    w5 = 267.2635 + 1222.1136 * t7;
    w6 = 175.4762 + 1221.5515 * t7;
    w7 = 2.4891 + 0.002435 * t7;
    w8 = 113.35 - 0.2597 * t7;
    e1 = 0.05589 - 0.000346 * t7;
  }
};

// A place on an orbit told by the plane of the ring: longitude, distance, inclination and node (degrees, radii).
struct OnRing {
  double longitude, distance, inclination, node;
};

// From an orbit on the ecliptic of 1950 to one on the plane of the ring, with the equation of the centre.
OnRing from_ecliptic(double mean_longitude, double perihelion, double e, double axis, double node, double inclination) {
  const double m = mean_longitude - perihelion;
  const double e2 = e * e, e3 = e2 * e, e4 = e2 * e2, e5 = e3 * e2;
  const double centre =
      to_deg((2.0 * e - 0.25 * e3 + 0.0520833333 * e5) * sind(m) + (1.25 * e2 - 0.458333333 * e4) * sind(2.0 * m) +
             (1.083333333 * e3 - 0.671875 * e5) * sind(3.0 * m) + 1.072917 * e4 * sind(4.0 * m) +
             1.142708 * e5 * sind(5.0 * m));
  const double g = node - kRingNode;
  const double a1 = sind(inclination) * sind(g);
  const double a2 = cosd(kRingTilt) * sind(inclination) * cosd(g) - sind(kRingTilt) * cosd(inclination);
  const double u = to_deg(std::atan2(a1, a2));
  const double h = cosd(kRingTilt) * sind(inclination) - sind(kRingTilt) * cosd(inclination) * cosd(g);
  const double psi = to_deg(std::atan2(sind(kRingTilt) * sind(g), h));
  return {mean_longitude + centre + u - g - psi, axis * (1.0 - e2) / (1.0 + e * cosd(m + centre)),
          to_deg(std::asin(std::hypot(a1, a2))), kRingNode + u};
}

OnRing mimas(const Times& t) {
  const double l =
      127.64 + 381.994497 * t.t1 - 43.57 * sind(t.w0) - 0.720 * sind(3.0 * t.w0) - 0.02144 * sind(5.0 * t.w0);
  const double m = l - (106.1 + 365.549 * t.t2);
  const double centre = 2.18287 * sind(m) + 0.025988 * sind(2.0 * m) + 0.00043 * sind(3.0 * m);
  return {l + centre, 3.06879 / (1.0 + 0.01905 * cosd(m + centre)), 1.563, 54.5 - 365.072 * t.t2};
}

OnRing enceladus(const Times& t) {
  const double l = 200.317 + 262.7319002 * t.t1 + 0.25667 * sind(t.w1) + 0.20883 * sind(t.w2);
  const double m = l - (309.107 + 123.44121 * t.t2);
  const double centre = 0.55577 * sind(m) + 0.00168 * sind(2.0 * m);
  return {l + centre, 3.94118 / (1.0 + 0.00485 * cosd(m + centre)), 0.0262, 348.0 - 151.95 * t.t2};
}

OnRing tethys(const Times& t) {
  const double l =
      285.306 + 190.69791226 * t.t1 + 2.063 * sind(t.w0) + 0.03409 * sind(3.0 * t.w0) + 0.001015 * sind(5.0 * t.w0);
  return {l, 4.880998, 1.0976, 111.33 - 72.2441 * t.t2};
}

OnRing dione(const Times& t) {
  const double l = 254.712 + 131.53493193 * t.t1 - 0.0215 * sind(t.w1) - 0.01733 * sind(t.w2);
  const double m = l - (174.8 + 30.820 * t.t2);
  const double centre = 0.24717 * sind(m) + 0.00033 * sind(2.0 * m);
  return {l + centre, 6.24871 / (1.0 + 0.002157 * cosd(m + centre)), 0.0139, 232.0 - 30.27 * t.t2};
}

OnRing rhea(const Times& t) {
  const double p = 342.7 + 10.057 * t.t2;
  const double a1 = 0.000265 * sind(p) + 0.001 * sind(t.w4), a2 = 0.000265 * cosd(p) + 0.001 * cosd(t.w4);
  const double n = 345.0 - 10.057 * t.t2;
  return from_ecliptic(359.244 + 79.69004720 * t.t1 + 0.086754 * sind(n), to_deg(std::atan2(a1, a2)),
                       std::hypot(a1, a2), 8.725924, 168.8034 + 0.736936 * sind(n) + 0.041 * sind(t.w3),
                       28.0362 + 0.346898 * cosd(n) + 0.01930 * cosd(t.w3));
}

OnRing titan(const Times& t) {
  const double l = 261.1582 + 22.57697855 * t.t4 + 0.074025 * sind(t.w3);
  const double i0 = 27.45141 + 0.295999 * cosd(t.w3), node0 = 168.66925 + 0.628808 * sind(t.w3);
  const double a1 = sind(t.w7) * sind(node0 - t.w8);
  const double a2 = cosd(t.w7) * sind(i0) - sind(t.w7) * cosd(i0) * cosd(node0 - t.w8);
  constexpr double g0 = 102.8623;
  const double psi = to_deg(std::atan2(a1, a2)), s = std::hypot(a1, a2);
  double g = t.w4 - node0 - psi, perihelion = 0.0;
  for (int round = 0; round < 3; ++round) {
    perihelion = t.w4 + 0.37515 * (sind(2.0 * g) - sind(2.0 * g0));
    g = perihelion - node0 - psi;
  }
  const double e0 = 0.029092 + 0.00019048 * (cosd(2.0 * g) - cosd(2.0 * g0));
  const double q = 2.0 * (t.w5 - perihelion);
  const double b1 = sind(i0) * sind(node0 - t.w8);
  const double b2 = cosd(t.w7) * sind(i0) * cosd(node0 - t.w8) - sind(t.w7) * cosd(i0);
  const double theta = to_deg(std::atan2(b1, b2)) + t.w8;
  const double u = 2.0 * t.w5 - 2.0 * theta + psi;
  const double h = 0.9375 * e0 * e0 * sind(q) + 0.1875 * s * s * sind(2.0 * (t.w5 - theta));
  const double longitude = l - 0.254744 * (t.e1 * sind(t.w6) + 0.75 * t.e1 * t.e1 * sind(2.0 * t.w6) + h);
  return from_ecliptic(longitude, perihelion + 0.159215 * sind(q), e0 + 0.002778797 * e0 * cosd(q), 20.216193,
                       node0 + 0.031843 * s * sind(u) / sind(i0), i0 + 0.031843 * s * cosd(u));
}

OnRing hyperion(const Times& t) {
  const double eta = 92.39 + 0.5621071 * t.t6, zeta = 148.19 - 19.18 * t.t8;
  const double theta = 184.8 - 35.41 * t.t9;
  const double as = 176.0 + 12.22 * t.t8, bs = 8.0 + 24.44 * t.t8, cs = bs + 5.0;
  const double perihelion = 69.898 - 18.67088 * t.t8;
  const double phi = 2.0 * (perihelion - t.w5), chi = 94.9 - 2.292 * t.t8;
  const double axis = 24.50601 - 0.08686 * cosd(eta) - 0.00166 * cosd(zeta + eta) + 0.00175 * cosd(zeta - eta);
  const double e = 0.103458 - 0.004099 * cosd(eta) - 0.000167 * cosd(zeta + eta) + 0.000235 * cosd(zeta - eta) +
                   0.02303 * cosd(zeta) - 0.00212 * cosd(2.0 * zeta) + 0.000151 * cosd(3.0 * zeta) +
                   0.00013 * cosd(phi);
  const double p = perihelion + 0.15648 * sind(chi) - 0.4457 * sind(eta) - 0.2657 * sind(zeta + eta) -
                   0.3573 * sind(zeta - eta) - 12.872 * sind(zeta) + 1.668 * sind(2.0 * zeta) -
                   0.2419 * sind(3.0 * zeta) - 0.07 * sind(phi);
  const double l = 177.047 + 16.91993829 * t.t6 + 0.15648 * sind(chi) + 9.142 * sind(eta) + 0.007 * sind(2.0 * eta) -
                   0.014 * sind(3.0 * eta) + 0.2275 * sind(zeta + eta) + 0.2112 * sind(zeta - eta) - 0.26 * sind(zeta) -
                   0.0098 * sind(2.0 * zeta) - 0.013 * sind(as) + 0.017 * sind(bs) - 0.0303 * sind(phi);
  const double i = 27.3347 + 0.6434886 * cosd(chi) + 0.315 * cosd(t.w3) + 0.018 * cosd(theta) - 0.018 * cosd(cs);
  const double node =
      168.6812 + 1.40136 * cosd(chi) + 0.68599 * sind(t.w3) - 0.0392 * sind(cs) + 0.0366 * sind(theta - 7.5);
  return from_ecliptic(l, p, e, axis, node, i);
}

OnRing iapetus(const Times& t) {
  const double l_titan = 261.1582 + 22.57697855 * t.t4;
  const double w = 91.796 + 0.562 * t.t7, psi = 4.367 - 0.195 * t.t7, theta = 146.819 - 3.198 * t.t7;
  const double phi = 60.470 + 1.521 * t.t7, phi2 = 205.055 - 2.091 * t.t7;
  const double e0 = 0.028298 + 0.001156 * t.t11, w0 = 352.91 + 11.71 * t.t11;
  const double mu = 76.3852 + 4.53795125 * t.t10;
  const double i0 = 18.4602 + t.t11 * (-0.9518 + t.t11 * (-0.072 + t.t11 * 0.0054));
  const double node0 = 143.198 + t.t11 * (-3.919 + t.t11 * (0.116 + t.t11 * 0.008));
  const double l = mu - w0, g = w0 - node0 - psi, g1 = w0 - node0 - phi;
  const double ls = t.w5 - w, gs = w - theta, lt = l_titan - t.w4, gt = t.w4 - phi2;
  const double u1 = 2.0 * (l + g - ls - gs), u2 = l + g1 - lt - gt, u3 = l + 2.0 * (g - ls - gs);
  const double u4 = lt + gt - g1, u5 = 2.0 * (ls + gs);
  const double axis = 58.935028 + 0.004638 * cosd(u1) + 0.058222 * cosd(u2);
  const double e = e0 - 0.0014097 * cosd(g1 - gt) + 0.0003733 * cosd(u5 - 2.0 * g) + 0.0001180 * cosd(u3) +
                   0.0002408 * cosd(l) + 0.0002849 * cosd(l + u2) + 0.0006190 * cosd(u4);
  const double turn = 0.08077 * sind(g1 - gt) + 0.02139 * sind(u5 - 2.0 * g) - 0.00676 * sind(u3) + 0.01380 * sind(l) +
                      0.01632 * sind(l + u2) + 0.03547 * sind(u4);
  const double longitude = mu - 0.04299 * sind(u2) - 0.00789 * sind(u1) - 0.06312 * sind(ls) -
                           0.00295 * sind(2.0 * ls) - 0.02231 * sind(u5) + 0.00650 * sind(u5 + psi);
  const double sum = l + g1 + lt + gt + phi;
  const double i = i0 + 0.04204 * cosd(u5 + psi) + 0.00235 * cosd(sum) + 0.00360 * cosd(u2 + phi);
  const double swing = 0.04204 * sind(u5 + psi) + 0.00235 * sind(sum) + 0.00358 * sind(u2 + phi);
  return from_ecliptic(longitude, w0 + turn / e0, e, axis, node0 + swing / sind(i0), i);
}

Vec3 turned_x(Vec3 v, double degrees) {
  const double c = cosd(degrees), s = sind(degrees);
  return {v.x, v.y * c - v.z * s, v.y * s + v.z * c};
}

Vec3 turned_z(Vec3 v, double degrees) {
  const double c = cosd(degrees), s = sind(degrees);
  return {v.x * c - v.y * s, v.x * s + v.y * c, v.z};
}

// On the ecliptic and equinox of 1950.
Vec3 ecliptic_of(const OnRing& o) {
  const double u = o.longitude - o.node, w = o.node - kRingNode;
  const Vec3 in_ring = turned_z(turned_x(o.distance * Vec3{cosd(u), sind(u), 0.0}, o.inclination), w);
  return turned_z(turned_x(in_ring, kRingTilt), kRingNode);
}

}  // namespace

std::string_view name_of(SaturnMoon moon) {
  constexpr std::string_view names[] = {"Mimas", "Enceladus", "Tethys",   "Dione",
                                        "Rhea",  "Titan",     "Hyperion", "Iapetus"};
  return names[static_cast<std::size_t>(moon)];
}

std::array<Vec3, 8> saturn_moons_from_saturn(Tt tt) {
  const Times t(tt.julian_date());
  const std::array orbits = {mimas(t), enceladus(t), tethys(t), dione(t), rhea(t), titan(t), hyperion(t), iapetus(t)};
  double m[3][3];
  eraEcm06(2433282.423, 0.0, m);  // the mean ecliptic and equinox of B1950
  const Rotation3 icrf_from_ecliptic =
      Rotation3{{m[0][0], m[0][1], m[0][2]}, {m[1][0], m[1][1], m[1][2]}, {m[2][0], m[2][1], m[2][2]}}.transposed();
  std::array<Vec3, 8> moons;
  for (std::size_t i = 0; i < moons.size(); ++i) {
    moons[i] = in_astronomical_units(kRadius) * (icrf_from_ecliptic * ecliptic_of(orbits[i]));
  }
  return moons;
}

std::array<MoonOffset, 8> saturn_moon_offsets(const Place& saturn, const Observer& observer) {
  const Tt then = observer.tt - saturn.light_time;
  const MoonFrame frame = moon_frame(Body::saturn, saturn.from_observer, then);
  const Duration step = Duration::minutes(1.0);
  const auto here = saturn_moons_from_saturn(then), later = saturn_moons_from_saturn(then + step);
  const Vec3 planet = heliocentric_planet(Body::saturn, then + step) - heliocentric_planet(Body::saturn, then);
  std::array<MoonOffset, 8> result;
  for (std::size_t i = 0; i < result.size(); ++i) {
    result[i] = seen_beside(frame, here[i], (later[i] - here[i] + planet) / step.s());
  }
  return result;
}

}  // namespace halfarc::sky
