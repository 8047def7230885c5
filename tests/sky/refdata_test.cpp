// The whole of JPL's, USNO's and NASA's tables against the library, when the folder that holds them as CSV files is
// named by the environment variable HALFARC_REFDATA; skipped otherwise. A selection of the rows is typed in under
// tests/published/. Prints the rms and the worst difference of each body.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "halfarc/sky/body.h"
#include "halfarc/sky/galilean.h"
#include "halfarc/sky/magnitude.h"
#include "halfarc/sky/moon_face.h"
#include "halfarc/sky/place.h"
#include "halfarc/sky/planet_series.h"
#include "halfarc/sky/refraction.h"
#include "halfarc/sky/rise_set.h"

namespace halfarc::sky {
namespace {

using Row = std::vector<std::string>;

std::vector<Row> rows_of(const std::string& name) {
  const char* folder = std::getenv("HALFARC_REFDATA");
  std::vector<Row> rows;
  if (folder == nullptr) return rows;
  std::ifstream in(std::string(folder) + "/" + name);
  std::string line;
  std::getline(in, line);
  while (std::getline(in, line)) {
    Row row;
    std::stringstream cells(line);
    for (std::string cell; std::getline(cells, cell, ',');) row.push_back(cell);
    rows.push_back(row);
  }
  return rows;
}

#define ROWS_OR_SKIP(rows, name)   \
  const auto rows = rows_of(name); \
  if (rows.empty()) GTEST_SKIP() << "HALFARC_REFDATA names no folder with " << (name)

// Differences gathered by body and quantity.
class Tally {
 public:
  void add(const std::string& what, double difference) {
    auto& s = sums_[what];
    s.count += 1;
    s.squares += difference * difference;
    s.worst = std::max(s.worst, std::abs(difference));
  }
  double worst(const std::string& what) const { return sums_.at(what).worst; }
  void print(const char* unit) const {
    for (const auto& [what, s] : sums_) {
      std::printf("  %-28s n %4d  rms %9.4f  worst %9.4f %s\n", what.c_str(), s.count, std::sqrt(s.squares / s.count),
                  s.worst, unit);
    }
  }

 private:
  struct Sum {
    int count = 0;
    double squares = 0.0, worst = 0.0;
  };
  std::map<std::string, Sum> sums_;
};

Utc utc_of(const std::string& text) {
  const auto utc = Utc::parse(text);
  EXPECT_TRUE(utc.has_value()) << text;
  return utc.value_or(Utc());
}

double number(const std::string& text) { return std::stod(text); }

TEST(Refdata, JplHeliocentricVectors) {
  ROWS_OR_SKIP(rows, "horizons_heliocentric_icrf.csv");
  Tally tally;
  for (const auto& row : rows) {
    const auto body = parse_body(row[0]);
    if (!body || !is_planet(*body)) continue;  // the Earth and its barycentre come from ERFA
    const Vec3 jpl = {number(row[2]), number(row[3]), number(row[4])};
    const Vec3 ours = heliocentric_planet(*body, Tt::julian_date(number(row[1])));
    tally.add(row[0] + " seen from Sun", angle_between(jpl, ours).arcsec());
    tally.add(row[0] + " radius", (norm(ours) - norm(jpl)) / norm(jpl) / Angle::kRadPerArcsec);
  }
  tally.print("arcsec");
  for (const char* body : {"Mercury", "Venus", "Mars", "Jupiter", "Saturn", "Uranus", "Neptune"}) {
    EXPECT_LT(tally.worst(body + std::string(" seen from Sun")), 0.5) << body;
  }
}

TEST(Refdata, JplTopocentricPlaces) {
  ROWS_OR_SKIP(rows, "horizons_topocentric_29N_279E.csv");
  const Site site{Angle::deg(29.0), Angle::deg(-81.0), Length::m(10.0)};
  Tally places, angles;
  for (const auto& row : rows) {
    const auto body = parse_body(row[0]);
    ASSERT_TRUE(body.has_value());
    const Observer observer = observe_from(site, utc_of(row[1]));
    const Place p = place_of(*body, observer);
    const auto apart = [](Equatorial a, double ra, double dec) {
      return angle_between(direction(a.ra, a.dec), direction(Angle::deg(ra), Angle::deg(dec))).arcsec();
    };
    places.add(row[0] + " astrometric", apart(p.astrometric, number(row[2]), number(row[3])));
    if (row.size() > 10 && !row[8].empty()) {
      places.add(row[0] + " apparent airless", apart(p.apparent, number(row[8]), number(row[9])));
      angles.add(row[0] + " altitude", p.horizontal.altitude.deg() - number(row[10]));
    }
    angles.add(row[0] + " azimuth",
               wrap_signed(p.horizontal.azimuth - Angle::deg(number(row[6]))).deg() * cos(p.horizontal.altitude));
    if (p.horizontal.altitude > Angle::deg(0.5)) {
      angles.add(row[0] + " refracted altitude",
                 (p.horizontal.altitude + saemundsson_refraction(p.horizontal.altitude)).deg() - number(row[7]));
    }
  }
  places.print("arcsec");
  angles.print("deg");
  for (const Body b : kAllBodies) {
    const std::string name(name_of(b));
    EXPECT_LT(places.worst(name + " astrometric"), b == Body::moon ? 5.0 : 1.0) << name;
    EXPECT_LT(angles.worst(name + " azimuth"), 0.01) << name;
    EXPECT_LT(angles.worst(name + " refracted altitude"), 0.01) << name;
  }
}

TEST(Refdata, UsnoRiseAndSet) {
  ROWS_OR_SKIP(rows, "usno_rise_set.csv");
  Tally tally;
  for (const auto& row : rows) {
    const Body body = *parse_body(row[0]);
    const Site site{Angle::deg(number(row[2])), Angle::deg(number(row[1])), Length::m(0.0)};
    const Utc almanac = utc_of(row[3]);
    const auto kind = row[4][0] == 'r' ? SkyEventKind::rise : SkyEventKind::set;
    double best = 1e9;
    for (const auto& e : rise_transit_set(body, site, almanac - Duration::hours(3), almanac + Duration::hours(3))) {
      if (e.kind == kind && std::abs((e.at - almanac).minutes()) < std::abs(best)) best = (e.at - almanac).minutes();
    }
    tally.add(row[0] + " " + row[1] + " " + row[2] + " " + row[3].substr(0, 4), best);
    EXPECT_LT(std::abs(best), 1.0) << row[0] << " " << row[3];
  }
  tally.print("min");
}

TEST(Refdata, JplNorthPoles) {
  ROWS_OR_SKIP(rows, "horizons_north_pole_icrf.csv");
  Tally tally;
  for (const auto& row : rows) {
    const Body body = *parse_body(row[0]);
    const Equatorial ours = north_pole(body, tt_from_utc(utc_of(row[1])));
    tally.add(row[0] + " pole", angle_between(direction(ours.ra, ours.dec),
                                              direction(Angle::deg(number(row[3])), Angle::deg(number(row[4]))))
                                    .deg());
  }
  tally.print("deg");
  for (const Body b : kAllBodies) {
    if (b == Body::sun) continue;
    EXPECT_LT(tally.worst(std::string(name_of(b)) + " pole"), 0.004);
  }
}

TEST(Refdata, NasaMoonLibration) {
  ROWS_OR_SKIP(rows, "nasa_svs_moon_libration.csv");
  Tally tally;
  for (const auto& row : rows) {
    const Observer centre = observe_from_earth_centre(utc_of(row[0]));
    const Place p = place_of(Body::moon, centre);
    const Disc d = disc_of(Body::moon, p, centre);
    const MoonFace f = moon_face(d);
    tally.add("l", wrap_signed(f.libration_longitude - Angle::deg(number(row[9]))).deg());
    tally.add("b", (f.libration_latitude - Angle::deg(number(row[10]))).deg());
    Observer j2000 = centre;  // the table counts its position angles from the north of J2000
    j2000.date_from_icrf = Rotation3{};
    const Angle axis = disc_of(Body::moon, p, j2000).pole_angle;
    tally.add("axis", wrap_signed(axis - Angle::deg(number(row[11]))).deg());
    tally.add("Sun longitude", wrap_signed(f.sub_solar_longitude - Angle::deg(number(row[7]))).deg());
    tally.add("Sun latitude", (f.sub_solar_latitude - Angle::deg(number(row[8]))).deg());
    tally.add("diameter/arcsec", d.equatorial_diameter.arcsec() - number(row[3]));
    tally.add("phase/percent", 100.0 * d.illuminated_fraction - number(row[1]));
  }
  tally.print("deg");
  for (const char* angle : {"l", "b", "axis", "Sun longitude", "Sun latitude"}) EXPECT_LT(tally.worst(angle), 0.02);
}

TEST(Refdata, JplMagnitudes) {
  ROWS_OR_SKIP(rows, "horizons_magnitudes.csv");
  Tally tally, geometry;
  for (const auto& row : rows) {
    const Body body = *parse_body(row[0]);
    const Observer centre = observe_from_earth_centre(utc_of(row[1]));
    const Place p = place_of(body, centre);
    const Disc d = disc_of(body, p, centre);
    const Illumination i = illumination_of(body, p, d, centre);
    geometry.add(row[0] + " phase/deg", i.phase_angle.deg() - number(row[6]));
    geometry.add(row[0] + " r/1e-6", (i.sun_distance_au / number(row[4]) - 1.0) * 1e6);
    geometry.add(row[0] + " delta/1e-6", (i.distance_au / number(row[5]) - 1.0) * 1e6);
    const auto v = visual_magnitude(body, i);
    if (v && row[2] != "n.a." && !row[2].empty()) tally.add(row[0] + " V", *v - number(row[2]));
    const auto s = surface_magnitude(body, i, d);
    if (s && row[3] != "n.a." && !row[3].empty())
      tally.add(row[0] + " surface", *s - number(row[3]) - (v ? *v - number(row[2]) : 0.0));
  }
  tally.print("mag");
  geometry.print("");
}

TEST(Refdata, JplGalileanMoons) {
  ROWS_OR_SKIP(rows, "horizons_galilean_moons_icrf.csv");
  Tally tally;
  const std::vector<std::string> names = {"Io", "Europa", "Ganymede", "Callisto"};
  for (const auto& row : rows) {
    const auto index = static_cast<std::size_t>(std::find(names.begin(), names.end(), row[0]) - names.begin());
    ASSERT_LT(index, 4U);
    const Vec3 jpl = {number(row[2]), number(row[3]), number(row[4])};
    const Vec3 ours = galilean_from_jupiter(Tt::julian_date(number(row[1])))[index];
    const Vec3 ahead = unit({number(row[5]), number(row[6]), number(row[7])});
    tally.add(row[0] + " km", norm(ours - jpl) * kMetresPerAu / 1000.0);
    tally.add(row[0] + " km ahead", dot(ours - jpl, ahead) * kMetresPerAu / 1000.0);
    tally.add(row[0] + " radius 1e-6", (norm(ours) / norm(jpl) - 1.0) * 1e6);
  }
  tally.print("");
  // 1" of separation at the nearest opposition is 2870 km.
  for (const auto& name : names) EXPECT_LT(tally.worst(name + " km"), 720.0) << name;
}

}  // namespace
}  // namespace halfarc::sky
