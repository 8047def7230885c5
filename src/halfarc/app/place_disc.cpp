#include "halfarc/app/place_disc.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "halfarc/measure/disc_fit.h"

namespace halfarc {
namespace {

constexpr double kLit = 0.25;  // of the bright level: from there to twice that, light begins to count
constexpr Angle kWorstAxis = Angle::deg(3.0);
constexpr double kAxisSigmaOfRing = 1.0;  // degrees: markings and the globe's shadow pull the moments about so much

// Sky, bright level, and moments of what is lit.
struct Light {
  double sky = 0.0, bright = 0.0;
  double area = 0.0;
  PixelPoint centroid;
  double xx = 0.0, yy = 0.0, xy = 0.0;  // about the centroid
};

Light light_of(View<const float> p) {
  std::vector<float> all, rim;
  for (int y = 0; y < p.height(); ++y) {
    for (int x = 0; x < p.width(); ++x) {
      all.push_back(p(x, y));
      if (std::min({x, y, p.width() - 1 - x, p.height() - 1 - y}) < 2) rim.push_back(p(x, y));
    }
  }
  const auto level = [](std::vector<float>& v, double quantile) {
    const auto at = v.begin() + static_cast<std::ptrdiff_t>(quantile * static_cast<double>(v.size() - 1));
    std::nth_element(v.begin(), at, v.end());
    return static_cast<double>(*at);
  };
  Light light;
  light.sky = level(rim, 0.5);
  light.bright = level(all, 0.98) - light.sky;
  // A ramp instead of a step, so that the sums change smoothly as the picture moves.
  const auto lit = [&](int x, int y) {
    return std::clamp(((static_cast<double>(p(x, y)) - light.sky) / light.bright - kLit) / kLit, 0.0, 1.0);
  };
  double sx = 0.0, sy = 0.0;
  for (int y = 0; y < p.height(); ++y) {
    for (int x = 0; x < p.width(); ++x) {
      const double w = lit(x, y);
      if (w <= 0.0) continue;
      light.area += w;
      sx += w * x;
      sy += w * y;
    }
  }
  if (light.area <= 0.0) return light;
  light.centroid = {sx / light.area, sy / light.area};
  for (int y = 0; y < p.height(); ++y) {
    for (int x = 0; x < p.width(); ++x) {
      const double w = lit(x, y);
      if (w <= 0.0) continue;
      const PixelOffset d = PixelPoint{double(x), double(y)} - light.centroid;
      light.xx += w * d.x * d.x / light.area;
      light.yy += w * d.y * d.y / light.area;
      light.xy += w * d.x * d.y / light.area;
    }
  }
  return light;
}

// The shorter axis of second moments, clockwise from up.
Angle shorter_axis(const Light& light) {
  const double longer = 0.5 * std::atan2(2.0 * light.xy, light.xx - light.yy);  // from +x towards +y: clockwise
  return Angle::rad(longer);                                                    // up is a quarter turn before +x
}

}  // namespace

std::optional<PlacedDisc> place_disc(View<const float> picture, double expected_radius, bool ringed) {
  const Light light = light_of(picture);
  if (light.bright <= 0.0 || light.area < 12.0) return std::nullopt;
  PlacedDisc placed;
  placed.centre = light.centroid;
  placed.equatorial_radius = expected_radius;
  if (ringed) {
    placed.axis = {shorter_axis(light), Angle::deg(kAxisSigmaOfRing)};
    return placed;
  }
  SamplePlane samples;
  samples.value = Plane<float>(picture.width(), picture.height());
  samples.weight = Plane<float>(picture.width(), picture.height());
  for (int y = 0; y < picture.height(); ++y) std::copy_n(picture.row(y), picture.width(), samples.value.row(y));
  std::fill(samples.weight.samples().begin(), samples.weight.samples().end(), 1.0F);
  const double diameter = 2.0 * std::sqrt(light.area / std::numbers::pi);
  const auto fit = fit_disc(samples, {light.centroid, diameter, light.sky, light.bright});
  if (!fit || fit->doubt) return placed;
  placed.fitted = true;
  placed.centre = fit->centre();
  placed.equatorial_radius = 0.5 * fit->equatorial_diameter.value;
  placed.darkening = fit->darkening.value;
  placed.blur = fit->blur.value;
  if (fit->pole_angle.sigma < kWorstAxis && fit->flattening.value > 3.0 * fit->flattening.sigma) {
    placed.axis = fit->pole_angle;
  }
  return placed;
}

}  // namespace halfarc
