#include "halfarc/sky/galilean.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "halfarc/sky/disc.h"
#include "halfarc/sky/figure.h"
#include "halfarc/sky/planet_series.h"
#include "halfarc/sky/rise_set.h"

namespace halfarc::sky {
namespace {

struct Term {
  int moon;
  char element;
  double amplitude, phase, frequency;
};
constexpr Term kTerms[] = {
#include "sky/galilean_l12.inc"
};

// data: [Lainey2006], L1.2: mean longitude (rad, rad per day from 1950 January 1.0 TT); the frame of the theory's
// equator of Jupiter in the ICRF.
constexpr double kMeanLongitude[4][2] = {{1.446213296021224, 3.5515522861824},
                                         {-0.3735263437471362, 1.76932271112347},
                                         {0.2874089391143348, 0.878207923589328},
                                         {-0.3620341291375704, 0.376486233433828}};
constexpr double kEpoch = 2433282.5;
constexpr Rotation3 kIcrfFromJupiter = {{9.99432765338654e-01, 3.03959428906285e-02, -1.44994559663353e-02},
                                        {-3.36771074697641e-02, 9.02057912352809e-01, -4.30299169409101e-01},
                                        {0.0, 4.30543388542295e-01, 9.02569881273754e-01}};

struct Elements {
  double axis = 0.0, longitude = 0.0, k = 0.0, h = 0.0, q = 0.0, p = 0.0;
};

Elements elements_of(int moon, double t) {
  const auto& mean = kMeanLongitude[moon];
  Elements e;
  e.longitude = mean[0] + mean[1] * t;
  for (const auto& term : kTerms) {
    if (term.moon != moon) continue;
    const double argument = term.phase + term.frequency * t;
    const double c = term.amplitude * std::cos(argument), s = term.amplitude * std::sin(argument);
    switch (term.element) {
      case 'a':
        e.axis += c;
        break;
      case 'l':
        e.longitude += s;
        break;
      case 'z':
        e.k += c, e.h += s;
        break;
      default:
        e.q += c, e.p += s;
    }
  }
  return e;
}

// From elements without singularities (k, h: eccentricity; q, p: inclination) to a place: au, Jupiter's equator.
Vec3 place_from(const Elements& e) {
  double anomaly = e.longitude;
  for (int i = 0; i < 8; ++i) {  // eccentricities are below 0.01: five rounds reach the last bit
    const double c = std::cos(anomaly), s = std::sin(anomaly);
    anomaly += (e.longitude - anomaly + e.k * s - e.h * c) / (1.0 - e.k * c - e.h * s);
  }
  const double c = std::cos(anomaly), s = std::sin(anomaly);
  const double offset = e.h * c - e.k * s;
  const double psi = 1.0 / (1.0 + std::sqrt(1.0 - e.k * e.k - e.h * e.h));
  const double x = e.axis * (c - e.k - psi * e.h * offset), y = e.axis * (s - e.h + psi * e.k * offset);
  const double f = 2.0 * std::sqrt(1.0 - e.q * e.q - e.p * e.p);
  return {x * (1.0 - 2.0 * e.p * e.p) + y * 2.0 * e.p * e.q, x * 2.0 * e.p * e.q + y * (1.0 - 2.0 * e.q * e.q),
          (e.q * y - x * e.p) * f};
}

// Jupiter's vector from the observer and from the Sun through a night or more, without a full ephemeris each time:
// quadratics through three places at most 12 h apart, good to 1e-8 au.
class JupiterTrack {
 public:
  JupiterTrack(Utc from, Utc to) : from_(from) {
    const double halves = std::max(1.0, std::ceil((to - from).hours() / 24.0)) * 2.0;
    step_ = std::max((to - from) / halves, Duration::minutes(1.0));
    for (int i = 0; i <= static_cast<int>(halves); ++i) {
      const Observer o = observe_from_earth_centre(from + static_cast<double>(i) * step_);
      const Place p = place_of(Body::jupiter, o);
      nodes_.push_back({p.from_observer, p.from_sun});
    }
  }

  Place at(Utc t) const {
    const double s = (t - from_) / step_;
    const auto last = static_cast<double>(nodes_.size() - 2);
    const auto k = static_cast<std::size_t>(std::clamp(std::round(s), 1.0, last));
    const double u = s - static_cast<double>(k);
    const auto through = [&](Vec3 a, Vec3 b, Vec3 c) {
      return b + 0.5 * u * (c - a) + 0.5 * u * u * (c - 2.0 * b + a);
    };
    Place p;
    p.from_observer = through(nodes_[k - 1].from_observer, nodes_[k].from_observer, nodes_[k + 1].from_observer);
    p.from_sun = through(nodes_[k - 1].from_sun, nodes_[k].from_sun, nodes_[k + 1].from_sun);
    p.distance = astronomical_units(norm(p.from_observer));
    p.light_time = Duration::s(p.distance.m() / 299792458.0);
    return p;
  }

 private:
  struct Node {
    Vec3 from_observer, from_sun;
  };
  Utc from_;
  Duration step_;
  std::vector<Node> nodes_;
};

// The moons as an eye sees them, at Terrestrial time `then` of Jupiter; for shadows the eye is the Sun and light time
// is nil.
std::array<MoonOffset, 4> offsets(Vec3 eye_to_jupiter, Tt then, bool with_light_time) {
  const MoonFrame frame = moon_frame(Body::jupiter, eye_to_jupiter, then);
  const Duration step = Duration::minutes(1.0);
  const auto here = galilean_from_jupiter(then);
  const auto later = with_light_time ? galilean_from_jupiter(then + step) : here;
  const Vec3 planet = with_light_time
                          ? heliocentric_planet(Body::jupiter, then + step) - heliocentric_planet(Body::jupiter, then)
                          : Vec3{};
  std::array<MoonOffset, 4> result;
  for (std::size_t i = 0; i < 4; ++i) result[i] = seen_beside(frame, here[i], (later[i] - here[i] + planet) / step.s());
  return result;
}

// How far outside the outline a point stands, in radii.
double outside(const MoonOffset& m, double ratio) { return std::hypot(m.x, m.y / ratio) - 1.0; }

double outline_ratio(Vec3 eye_to_jupiter, Tt then) {
  const Equatorial pole = north_pole(Body::jupiter, then);
  const Angle latitude = angle_between(eye_to_jupiter, direction(pole.ra, pole.dec)) - Angle::deg(90.0);
  const Figure figure = figure_of(Body::jupiter);
  return apparent_polar_ratio(figure.polar / figure.equatorial, latitude);
}

}  // namespace

std::string_view name_of(GalileanMoon moon) {
  constexpr std::string_view names[] = {"Io", "Europa", "Ganymede", "Callisto"};
  return names[static_cast<std::size_t>(moon)];
}

std::array<Vec3, 4> galilean_from_jupiter(Tt tt) {
  std::array<Vec3, 4> moons;
  for (int i = 0; i < 4; ++i) {
    moons[static_cast<std::size_t>(i)] = kIcrfFromJupiter * place_from(elements_of(i, tt.julian_date() - kEpoch));
  }
  return moons;
}

std::array<MoonOffset, 4> galilean_offsets(const Place& jupiter, const Observer& observer) {
  return offsets(jupiter.from_observer, observer.tt - jupiter.light_time, true);
}

std::string describe(const MoonEvent& e) {
  std::string name(name_of(e.moon));
  switch (e.kind) {
    case MoonEventKind::transit:
      return name + (e.begins ? " comes before the disc" : " leaves the disc");
    case MoonEventKind::occultation:
      return name + (e.begins ? " goes behind the disc" : " comes from behind the disc");
    case MoonEventKind::shadow:
      return name + "'s shadow " + (e.begins ? "comes on the disc" : "leaves the disc");
    case MoonEventKind::eclipse:
      return name + (e.begins ? " goes into Jupiter's shadow" : " comes out of Jupiter's shadow");
  }
  return name;
}

std::vector<MoonEvent> galilean_events(Utc from, Utc to) {
  std::vector<MoonEvent> events;
  if (!(from < to)) return events;
  const JupiterTrack track(from, to);
  const auto look = [&](Utc at, bool from_sun) {
    const Place p = track.at(at);
    const Tt then = tt_from_utc(at) - p.light_time;
    return from_sun ? offsets(p.from_sun, then, false) : offsets(p.from_observer, then, true);
  };
  const auto ratio_at = [&](Utc at, bool from_sun) {
    const Place p = track.at(at);
    return outline_ratio(from_sun ? p.from_sun : p.from_observer, tt_from_utc(at) - p.light_time);
  };
  for (const bool from_sun : {false, true}) {
    const double ratio = ratio_at(from, from_sun), other_ratio = ratio_at(from, !from_sun);
    for (std::size_t i = 0; i < 4; ++i) {
      const auto apart = [&](Utc t) { return Angle::rad(outside(look(t, from_sun)[i], ratio)); };
      for (const Crossing& c : zero_crossings(apart, from, to, Duration::minutes(30.0))) {
        const bool before = look(c.at, from_sun)[i].z > 0.0;
        const MoonOffset other = look(c.at, !from_sun)[i];
        const bool hidden_otherwise = !before && other.z < 0.0 && outside(other, other_ratio) < 0.0;
        if (hidden_otherwise) continue;
        const auto kind = from_sun ? (before ? MoonEventKind::shadow : MoonEventKind::eclipse)
                                   : (before ? MoonEventKind::transit : MoonEventKind::occultation);
        events.push_back({static_cast<GalileanMoon>(i), kind, !c.upward, c.at});
      }
    }
  }
  std::sort(events.begin(), events.end(), [](const MoonEvent& a, const MoonEvent& b) { return a.at < b.at; });
  return events;
}

}  // namespace halfarc::sky
