// The events of Jupiter's great moons by a second road: JPL's states of two of them, carried a day to either side by a
// numerical integration, and the meeting of a ray with the oblate globe in space. Nothing is shared with galilean.cpp
// but Jupiter's own place, axis and figure.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <vector>

#include "halfarc/sky/figure.h"
#include "halfarc/sky/galilean.h"
#include "halfarc/sky/planet_series.h"
#include "halfarc/sky/rotation.h"

namespace halfarc::sky {
namespace {

struct JplState {
  double jd;
  std::size_t moon;
  Vec3 place, velocity;
};
constexpr JplState kStates[] = {
#include "galilean_jpl_states.inc"
};

constexpr double kKmPerAu = kMetresPerAu / 1000.0, kLight = 299792.458;
// From memory: GM of Jupiter and its moons (km^3/s^2) and Jupiter's J2 for the radius of 71 492 km.
constexpr double kJupiter = 126686534.0, kRadius = 71492.0, kJ2 = 0.0146964;
constexpr std::array kMoon = {5959.9, 3202.7, 9887.8, 7179.3};

using Four = std::array<Vec3, 4>;
struct State {
  Four place, velocity;  // km, km/s, ICRF
};

Vec3 pole_of_jupiter(Tt t) {
  const Equatorial pole = north_pole(Body::jupiter, t);
  return direction(pole.ra, pole.dec);
}

Four acceleration(const Four& r, Vec3 pole) {
  Four a;
  Vec3 of_jupiter;  // what the moons do to Jupiter, which is the origin
  for (std::size_t i = 0; i < 4; ++i) of_jupiter = of_jupiter + r[i] * (kMoon[i] / std::pow(norm(r[i]), 3));
  for (std::size_t i = 0; i < 4; ++i) {
    const double d = norm(r[i]), s = dot(r[i], pole) / d;
    const double bulge = 1.5 * kJ2 * kJupiter * kRadius * kRadius / std::pow(d, 4);
    a[i] =
        r[i] * (-kJupiter / (d * d * d)) - of_jupiter + (5.0 * s * s - 1.0) * bulge / d * r[i] - 2.0 * s * bulge * pole;
    for (std::size_t j = 0; j < 4; ++j) {
      if (j != i) a[i] = a[i] + (r[j] - r[i]) * (kMoon[j] / std::pow(norm(r[j] - r[i]), 3));
    }
  }
  return a;
}

State stepped(const State& s, double h, Vec3 pole) {  // Runge and Kutta's fourth order
  const auto moved = [](const Four& a, const Four& b, double k) {
    Four sum;
    for (std::size_t i = 0; i < 4; ++i) sum[i] = a[i] + k * b[i];
    return sum;
  };
  const Four a1 = acceleration(s.place, pole);
  const Four v2 = moved(s.velocity, a1, h / 2), a2 = acceleration(moved(s.place, s.velocity, h / 2), pole);
  const Four v3 = moved(s.velocity, a2, h / 2), a3 = acceleration(moved(s.place, v2, h / 2), pole);
  const Four v4 = moved(s.velocity, a3, h), a4 = acceleration(moved(s.place, v3, h), pole);
  State next;
  for (std::size_t i = 0; i < 4; ++i) {
    next.place[i] = s.place[i] + h / 6.0 * (s.velocity[i] + 2.0 * v2[i] + 2.0 * v3[i] + v4[i]);
    next.velocity[i] = s.velocity[i] + h / 6.0 * (a1[i] + 2.0 * a2[i] + 2.0 * a3[i] + a4[i]);
  }
  return next;
}

// The moons every minute from a day before to a day after an epoch of JPL's.
class Orbits {
 public:
  explicit Orbits(double jd) : epoch_(Tt::julian_date(jd)) {
    State start = by_theory();
    for (const auto& s : kStates) {
      if (s.jd != jd) continue;
      start.place[s.moon] = kKmPerAu * s.place;
      start.velocity[s.moon] = kKmPerAu / 86400.0 * s.velocity;
    }
    const Vec3 pole = pole_of_jupiter(epoch_);
    minutes_.resize(2 * kDay + 1);
    minutes_[kDay] = start;
    for (std::size_t i = kDay; i < 2 * kDay; ++i) minutes_[i + 1] = stepped(minutes_[i], 60.0, pole);
    for (std::size_t i = kDay; i > 0; --i) minutes_[i - 1] = stepped(minutes_[i], -60.0, pole);
  }

  Vec3 at(std::size_t moon, Tt t) const {
    const double minutes = (t - epoch_).minutes() + static_cast<double>(kDay);
    const auto i = static_cast<std::size_t>(std::lround(minutes));
    const double s = 60.0 * (minutes - static_cast<double>(i));  // half a minute at most: the curve of Io is 0.3 km
    return minutes_.at(i).place[moon] + s * minutes_.at(i).velocity[moon];
  }

 private:
  // The moons that JPL's rows leave out at this epoch only pull at the others: the theory's 1e-4 does not matter there.
  State by_theory() const {
    const Duration s = Duration::s(30.0);
    const auto now = galilean_from_jupiter(epoch_), before = galilean_from_jupiter(epoch_ - s),
               after = galilean_from_jupiter(epoch_ + s);
    State state;
    for (std::size_t i = 0; i < 4; ++i) {
      state.place[i] = kKmPerAu * now[i];
      state.velocity[i] = kKmPerAu / 60.0 * (after[i] - before[i]);
    }
    return state;
  }

  static constexpr std::size_t kDay = 1440;
  Tt epoch_;
  std::vector<State> minutes_;
};

// How the moon stands to the line from an eye past Jupiter.
struct Standing {
  double outside = 0.0;  // radii beyond the outline, negative over or behind the globe
  bool before = false;
};

// `eye` and `moon` from Jupiter's centre, km. The globe is stretched along its axis into a sphere.
Standing standing(Vec3 eye, Vec3 moon, Vec3 pole) {
  const Figure f = figure_of(Body::jupiter);
  const double stretch = f.equatorial / f.polar - 1.0;
  const Vec3 e = eye + stretch * dot(eye, pole) * pole, m = moon + stretch * dot(moon, pole) * pole;
  return {norm(cross(e, unit(m - e))) / f.equatorial.km() - 1.0, dot(moon, eye) > 0.0};
}

struct Look {
  std::array<Standing, 4> from_earth, from_sun;
};

// Light takes its time: from moon and limb to us, and from the nearer to the farther of moon and Jupiter in sunlight.
Look look(const Orbits& orbits, Utc at) {
  const Observer o = observe_from_earth_centre(at);
  const Place p = place_of(Body::jupiter, o);
  const Tt then = o.tt - p.light_time;
  const Vec3 pole = pole_of_jupiter(then);
  const Vec3 earth = -kKmPerAu * p.from_observer, sun = -kKmPerAu * p.from_sun;
  const Duration minute = Duration::minutes(1.0);
  const Vec3 way = heliocentric_planet(Body::jupiter, then + minute) - heliocentric_planet(Body::jupiter, then);
  const Vec3 velocity = way * (kKmPerAu / 60.0);  // km/s
  Look l;
  for (std::size_t i = 0; i < 4; ++i) {
    const Vec3 moon = orbits.at(i, then);
    const double nearer_us = dot(moon, unit(earth)) / kLight, nearer_sun = dot(moon, unit(sun)) / kLight;  // s
    const Tt left = then + Duration::s(nearer_us);
    l.from_earth[i] = standing(earth, orbits.at(i, left) + nearer_us * velocity, pole);
    const Tt lit = nearer_sun > 0.0 ? then - Duration::s(nearer_sun) : left;
    l.from_sun[i] = standing(sun, orbits.at(i, lit) - nearer_sun * velocity, pole);
  }
  return l;
}

const Standing& seen(const Look& l, bool sun, std::size_t moon) { return (sun ? l.from_sun : l.from_earth)[moon]; }

std::vector<MoonEvent> events_by_integration(const Orbits& orbits, std::size_t moon, Utc from, Utc to) {
  std::vector<MoonEvent> events;
  const Duration step = Duration::minutes(10.0);
  Look last = look(orbits, from);
  for (Utc at = from + step; at <= to; at = at + step) {
    const Look now = look(orbits, at);
    for (const bool sun : {false, true}) {
      const bool enters = seen(now, sun, moon).outside < 0.0;
      if ((seen(last, sun, moon).outside < 0.0) == enters) continue;
      Utc low = at - step, high = at;
      while (high - low > Duration::s(0.5)) {
        const Utc half = low + 0.5 * (high - low);
        ((seen(look(orbits, half), sun, moon).outside < 0.0) == enters ? high : low) = half;
      }
      const Look then = look(orbits, high);
      const Standing& other = seen(then, !sun, moon);
      const bool before = seen(then, sun, moon).before;
      if (!before && !other.before && other.outside < 0.0) continue;  // hidden already
      const auto kind = sun ? (before ? MoonEventKind::shadow : MoonEventKind::eclipse)
                            : (before ? MoonEventKind::transit : MoonEventKind::occultation);
      events.push_back({static_cast<GalileanMoon>(moon), kind, enters, high});
    }
    last = now;
  }
  return events;
}

// Source: JPL Horizons, 58 states 2010 to 2030, each giving two days of events.
TEST(JplHorizons, GalileanEventsWithinAMinute) {
  constexpr std::array bound = {30.0, 30.0, 60.0, 180.0};  // s
  std::array<double, 4> squares{}, worst{};
  std::array<int, 4> count{};
  for (const auto& s : kStates) {
    const Orbits orbits(s.jd);
    const Utc middle = utc_from_tt(Tt::julian_date(s.jd)) + Duration::minutes(42.0);  // light is on its way
    const Utc from = middle - Duration::hours(23.0), to = middle + Duration::hours(23.0);
    const auto theirs = events_by_integration(orbits, s.moon, from, to);
    auto ours = galilean_events(from, to);
    std::erase_if(ours, [&](const MoonEvent& e) { return static_cast<std::size_t>(e.moon) != s.moon; });
    EXPECT_EQ(ours.size(), theirs.size()) << s.jd << " " << s.moon;
    for (const MoonEvent& e : ours) {
      double apart = 1e9;
      for (const MoonEvent& t : theirs) {
        if (t.kind != e.kind || t.begins != e.begins) continue;
        if (std::abs((e.at - t.at).s()) < std::abs(apart)) apart = (e.at - t.at).s();
      }
      EXPECT_LT(std::abs(apart), bound[s.moon]) << describe(e) << " " << e.at.iso(0);
      squares[s.moon] += apart * apart;
      worst[s.moon] = std::max(worst[s.moon], std::abs(apart));
      count[s.moon] += 1;
    }
  }
  EXPECT_GE(count[0] + count[1] + count[2] + count[3], 60);
  for (std::size_t i = 0; i < 4; ++i) {
    std::printf("  %-9s n %3d  rms %5.1f s  worst %5.1f s\n", name_of(static_cast<GalileanMoon>(i)).data(), count[i],
                std::sqrt(squares[i] / std::max(1, count[i])), worst[i]);
  }
}

// A day away from JPL's epoch the theory stays as near to the integration as it is to JPL's vectors at the epochs
// (galilean_test.cpp: 200, 200, 300 and 720 km): so the integration has the forces that matter.
TEST(JplHorizons, TheIntegrationHoldsForADay) {
  constexpr std::array km = {220.0, 220.0, 330.0, 780.0};
  for (const auto& s : kStates) {
    const Orbits orbits(s.jd);
    for (const double hours : {-23.5, -12.0, 0.0, 12.0, 23.5}) {
      const Tt t = Tt::julian_date(s.jd) + Duration::hours(hours);
      const double apart = norm(kKmPerAu * galilean_from_jupiter(t)[s.moon] - orbits.at(s.moon, t));
      EXPECT_LT(apart, km[s.moon]) << s.jd << " " << s.moon << " " << hours;
    }
  }
}

}  // namespace
}  // namespace halfarc::sky
