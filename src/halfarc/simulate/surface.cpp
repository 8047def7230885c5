#include "halfarc/simulate/surface.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "halfarc/simulate/relief.h"

namespace halfarc {
namespace {

float mix(float a, float b, double t) { return a + static_cast<float>(t) * (b - a); }
Reflectance mix(const Reflectance& a, const Reflectance& b, double t) {
  return {mix(a[0], b[0], t), mix(a[1], b[1], t), mix(a[2], b[2], t)};
}
Reflectance times(const Reflectance& a, double k) {
  const auto f = static_cast<float>(k);
  return {a[0] * f, a[1] * f, a[2] * f};
}

// 0 below a, 1 above b, smooth between.
double step(double a, double b, double x) {
  const double t = std::clamp((x - a) / (b - a), 0.0, 1.0);
  return t * t * (3.0 - 2.0 * t);
}

// The place on the unit sphere in the body's own axes, z to the north pole.
Vector3 body_axes(const SurfacePoint& p) {
  return {cos(p.latitude) * cos(p.longitude), cos(p.latitude) * sin(p.longitude), sin(p.latitude)};
}

struct Band {
  double north_deg;  // northern edge
  Reflectance colour;
};

// The colour at a latitude, given bands from north to south with soft edges.
template <std::size_t N>
Reflectance band_colour(const std::array<Band, N>& bands, double latitude_deg, double softness_deg) {
  Reflectance colour = bands[0].colour;
  for (std::size_t i = 1; i < N; ++i) {
    const double south_of_edge = step(-softness_deg, softness_deg, bands[i].north_deg - latitude_deg);
    colour = mix(colour, bands[i].colour, south_of_edge);
  }
  return colour;
}

struct Oval {
  double latitude_deg, longitude_deg, half_length_deg, half_height_deg;
  Reflectance colour;
  double strength;
  bool hollow;               // a bright collar round it
  double degrees_a_day = 0;  // eastwards, as the winds of its latitude carry it
};

// data: the banded giant's bands and ovals, of our own invention
constexpr std::array<Band, 12> kGiantBands = {{{90.0, {0.58F, 0.58F, 0.58F}},
                                               {52.0, {0.74F, 0.70F, 0.64F}},
                                               {44.0, {0.62F, 0.54F, 0.47F}},
                                               {37.0, {0.86F, 0.82F, 0.74F}},
                                               {23.0, {0.93F, 0.90F, 0.83F}},
                                               {19.0, {0.66F, 0.49F, 0.36F}},
                                               {8.0, {0.95F, 0.92F, 0.84F}},
                                               {-7.5, {0.72F, 0.55F, 0.41F}},
                                               {-19.0, {0.94F, 0.90F, 0.82F}},
                                               {-30.0, {0.72F, 0.64F, 0.56F}},
                                               {-37.0, {0.80F, 0.76F, 0.70F}},
                                               {-55.0, {0.56F, 0.56F, 0.57F}}}};
constexpr std::array<Oval, 7> kGiantOvals = {{{-22.5, 35.0, 10.5, 6.0, {0.82F, 0.50F, 0.33F}, 0.9, true, -0.3},
                                              {-33.5, 78.0, 4.0, 2.6, {0.97F, 0.95F, 0.90F}, 0.9, false, 0.4},
                                              {-33.5, 102.0, 3.4, 2.4, {0.97F, 0.95F, 0.90F}, 0.9, false, 0.4},
                                              {-40.5, -20.0, 3.0, 2.2, {0.96F, 0.94F, 0.90F}, 0.8, false, 0.5},
                                              {16.0, -35.0, 4.2, 1.6, {0.45F, 0.31F, 0.24F}, 0.9, false, -0.8},
                                              {15.0, 150.0, 5.0, 1.7, {0.43F, 0.30F, 0.24F}, 0.9, false, -0.8},
                                              {40.0, 210.0, 3.2, 2.0, {0.95F, 0.93F, 0.88F}, 0.8, false, 0.2}}};

double turn_difference_deg(double a, double b) { return std::remainder(a - b, 360.0); }

void paint_oval(const Oval& oval, double latitude_deg, double longitude_deg, Reflectance& colour) {
  const double u = turn_difference_deg(longitude_deg, oval.longitude_deg) / oval.half_length_deg;
  const double v = (latitude_deg - oval.latitude_deg) / oval.half_height_deg;
  const double r = std::hypot(u, v);
  if (r > 1.8) return;
  if (oval.hollow) {
    const double collar = step(0.9, 1.1, r) * (1.0 - step(1.25, 1.6, r));
    colour = mix(colour, Reflectance{0.95F, 0.92F, 0.85F}, 0.8 * collar);
  }
  colour = mix(colour, oval.colour, oval.strength * (1.0 - step(0.8, 1.1, r)));
}

Reflectance banded_giant(const SurfacePoint& p, double finest, std::uint64_t seed, const SurfaceWeather& weather) {
  const Vector3 place = body_axes(p);
  // Winds draw everything out along the latitude circles.
  const Vector3 drawn_out{place.x, place.y, 3.5 * place.z};
  const double waves = relief(drawn_out, {5.0, 0.55, finest / 3.5}, seed);
  const double streaks = relief(drawn_out, {9.0, 0.65, finest / 3.5}, seed + 1);
  const double festoons = relief({1.3 * place.x, 1.3 * place.y, 2.0 * place.z}, {7.0, 0.5, finest / 2.0}, seed + 2);
  const double latitude = p.latitude.deg() + 1.6 * waves;
  Reflectance colour = band_colour(kGiantBands, latitude, 0.9);
  // Blue-grey plumes hang from the northern edge of the equatorial zone.
  const double plume = step(0.12, 0.55, festoons) * (1.0 - step(2.0, 7.5, std::abs(latitude - 4.5)));
  colour = mix(colour, Reflectance{0.52F, 0.56F, 0.62F}, 0.75 * plume);
  const double belt = 1.0 - step(0.45, 0.7, static_cast<double>(colour[2]));
  colour = times(colour, 1.0 + (0.07 + 0.13 * belt) * streaks);
  for (const Oval& oval : kGiantOvals) {
    const double drifted = oval.degrees_a_day * weather.age.days();
    paint_oval(oval, p.latitude.deg(), p.longitude.deg() - drifted, colour);
  }
  return colour;
}

Reflectance ruddy_disc(const SurfacePoint& p, double finest, std::uint64_t seed, const SurfaceWeather& weather) {
  const Vector3 place = body_axes(p);
  const double plains = relief(place, {1.7, 0.55, finest}, seed) - 0.25 * sin(p.latitude);
  const double mottle = relief(place, {8.0, 0.6, finest}, seed + 1);
  const double coast = plains + 0.10 * mottle;
  Reflectance colour = mix(Reflectance{0.92F, 0.60F, 0.36F}, Reflectance{0.50F, 0.37F, 0.30F}, step(0.02, 0.20, coast));
  colour = times(colour, 1.0 + 0.06 * mottle);
  const double ragged = p.latitude.deg() + 3.5 * relief(place, {3.0, 0.55, finest}, seed + 2);
  const double collar = step(64.0, 70.0, ragged);
  colour = mix(colour, times(colour, 0.75), collar);
  colour = mix(colour, Reflectance{0.97F, 0.96F, 0.96F}, step(72.0, 74.5, ragged));
  // A thin haze in the blue hides the plains and whitens the far south.
  const double haze = 0.5 * step(-50.0, -75.0 + 8.0 * mottle, p.latitude.deg());
  colour = mix(colour, Reflectance{0.80F, 0.74F, 0.70F}, std::clamp(haze, 0.0, 0.6));
  if (weather.clouds > 0.0) {
    // Thin clouds hang where the Sun stands low, and here and there over high ground.
    const double drift = relief(place, {3.2, 0.6, finest}, seed + 3);
    const double low_sun = 1.0 - step(0.15, 0.7, p.to_sun);
    const double cloud = weather.clouds * step(0.1, 0.6, drift + 0.5 * low_sun);
    // They are white in the blue, where the ground is dark, and hardly seen in the red.
    const Reflectance white{std::max(colour[0], 0.80F), 0.78F, 0.76F};
    colour = mix(colour, white, 0.75 * std::min(1.0, cloud));
  }
  return colour;
}

// White clouds all over; faint bent streaks that the blue shows most.
Reflectance cloudy_disc(const SurfacePoint& p, double finest, std::uint64_t seed) {
  const Angle swept = p.longitude + abs(p.latitude) * 1.1;  // the equator runs ahead
  const Vector3 place{cos(p.latitude) * cos(swept), cos(p.latitude) * sin(swept), 3.0 * sin(p.latitude)};
  const double streaks = relief(place, {1.8, 0.55, finest / 3.0}, seed);
  const double collar = step(55.0, 70.0, std::abs(p.latitude.deg()));
  const auto shade = [&](double depth) { return static_cast<float>(1.0 + depth * (streaks + 0.5 * collar)); };
  return {0.93F * shade(0.010), 0.89F * shade(0.02), 0.76F * shade(0.09)};
}

// data: the ringed giant's bands, of our own invention
constexpr std::array<Band, 8> kPaleBands = {{{90.0, {0.52F, 0.53F, 0.50F}},
                                             {68.0, {0.70F, 0.63F, 0.50F}},
                                             {45.0, {0.80F, 0.71F, 0.55F}},
                                             {28.0, {0.72F, 0.61F, 0.45F}},
                                             {15.0, {0.90F, 0.81F, 0.63F}},
                                             {-15.0, {0.74F, 0.62F, 0.46F}},
                                             {-27.0, {0.82F, 0.73F, 0.57F}},
                                             {-60.0, {0.58F, 0.57F, 0.52F}}}};

Reflectance ringed_giant(const SurfacePoint& p, double finest, std::uint64_t seed) {
  const Vector3 place = body_axes(p);
  const double streaks = relief({place.x, place.y, 5.0 * place.z}, {4.0, 0.5, finest / 5.0}, seed);
  const Reflectance colour = band_colour(kPaleBands, p.latitude.deg() + 0.5 * streaks, 2.5);
  return times(colour, 1.0 + 0.03 * streaks);
}

struct RingPart {
  double inner, outer;  // equatorial radii
  float brightness;
  double opacity;
};

// data: the ring, of our own invention, from inside out; what is not listed is empty
constexpr std::array<RingPart, 4> kRing = {
    {{1.24, 1.50, 0.16F, 0.15}, {1.50, 1.70, 0.70F, 0.75}, {1.70, 1.95, 0.92F, 0.92}, {2.03, 2.24, 0.62F, 0.60}}};

struct LimbLaw {
  std::array<double, 3> share;  // L of [McEwen1991] for red, green, blue
};

LimbLaw limb_law(BodyKind kind) {
  switch (kind) {
    case BodyKind::ruddy_disc:
      return {{0.62, 0.55, 0.62}};  // flat in the red; haze brightens the limb in the blue
    case BodyKind::banded_giant:
      return {{0.22, 0.14, 0.20}};
    case BodyKind::ringed_giant:
      return {{0.24, 0.18, 0.22}};
    case BodyKind::cloudy_disc:
    case BodyKind::blank_disc:
      return {{0.20, 0.20, 0.20}};
    case BodyKind::cratered:
    case BodyKind::star:
      break;
  }
  return {{0.0, 0.0, 0.0}};
}

}  // namespace

Reflectance reflectance(BodyKind kind, const SurfacePoint& point, double finest, std::uint64_t seed,
                        const SurfaceWeather& weather) {
  switch (kind) {
    case BodyKind::banded_giant:
      return banded_giant(point, finest, seed, weather);
    case BodyKind::ruddy_disc:
      return ruddy_disc(point, finest, seed, weather);
    case BodyKind::ringed_giant:
      return ringed_giant(point, finest, seed);
    case BodyKind::cloudy_disc:
      return cloudy_disc(point, finest, seed);
    case BodyKind::blank_disc:
      return {0.8F, 0.8F, 0.8F};
    case BodyKind::cratered:
    case BodyKind::star:
      break;
  }
  return {1.0F, 1.0F, 1.0F};
}

Reflectance limb_darkening(BodyKind kind, double to_us, double to_sun) {
  if (to_sun <= 0.0 || to_us < 0.0) return {};
  const LimbLaw law = limb_law(kind);
  Reflectance result{};
  for (std::size_t c = 0; c < 3; ++c) {
    const double share = law.share[c];
    result[c] = static_cast<float>(2.0 * share * to_sun / (to_sun + to_us) + (1.0 - share) * to_sun);
  }
  return result;
}

RingPoint ring_at(double radius) {
  for (const RingPart& part : kRing) {
    if (radius < part.inner || radius >= part.outer) continue;
    // Fine grooves, the same all round.
    const double grooves = 1.0 + 0.10 * std::sin(radius * 71.0) * std::sin(radius * 23.0 + 1.0);
    const float b = part.brightness * static_cast<float>(grooves);
    return {{b, 0.93F * b, 0.78F * b}, part.opacity};
  }
  return {};
}

}  // namespace halfarc
