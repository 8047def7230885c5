#include "halfarc/app/target_light.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "halfarc/air/extinction.h"
#include "halfarc/air/image_motion.h"
#include "halfarc/optics/light.h"
#include "halfarc/sky/refraction.h"

namespace halfarc {

BodyColour colour_of(sky::Body body) {
  switch (body) {
    case sky::Body::moon:
      return BodyColour::moon;
    case sky::Body::mercury:
      return BodyColour::mercury;
    case sky::Body::venus:
      return BodyColour::venus;
    case sky::Body::mars:
      return BodyColour::mars;
    case sky::Body::jupiter:
      return BodyColour::jupiter;
    case sky::Body::saturn:
      return BodyColour::saturn;
    case sky::Body::uranus:
      return BodyColour::uranus;
    case sky::Body::neptune:
      return BodyColour::neptune;
    default:
      return BodyColour::grey;
  }
}

std::array<SpectralCurve, 3> plane_weights(const Rig& rig, sky::Body body, double airmass, Length height) {
  const SpectralCurve light = body_light(colour_of(body)) * air_transmission(airmass, height);
  std::array<SpectralCurve, 3> planes = colour_planes(rig);
  for (SpectralCurve& plane : planes) plane = plane * light;
  return planes;
}

std::array<double, 3> target_electrons_per_s(const Rig& rig, const TrainSolution& train, sky::Body body,
                                             double magnitude_per_arcsec2, double airmass, Length height) {
  const SpectralCurve photons =
      photons_of_magnitude(magnitude_per_arcsec2, body_light(colour_of(body))) * air_transmission(airmass, height);
  return electrons_per_s(train.transmission * photons, colour_planes(rig), train.pupil, plate_scale(rig, train));
}

std::array<DispersedBand, 3> dispersed_planes(const Rig& rig, sky::Body body, const Weather& weather,
                                              Angle apparent_altitude, Length height) {
  const auto weights = plane_weights(rig, body, sky::airmass(apparent_altitude), height);
  std::array<DispersedBand, 3> bands;
  for (std::size_t c = 0; c < 3; ++c) bands[c] = disperse(weights[c], weather, apparent_altitude);
  return bands;
}

SpectralCurve lift_arcsec(const Weather& weather, Angle apparent_altitude) {
  return SpectralCurve::of([&](Length wavelength) { return lift(wavelength, weather, apparent_altitude).arcsec(); });
}

Duration longest_still_exposure(Length r0_at_zenith, double airmass, Length aperture, Speed wind) {
  constexpr double kLeft = 0.95;
  const Angle allowed = Angle::arcsec(std::sqrt(-std::log(kLeft) / 2.0) / std::numbers::pi);
  const Turbulence air{r0_through(r0_at_zenith, airmass)};
  // The motion grows with the exposure, at first in proportion: a few secant steps in the logarithms find the exposure.
  const auto motion = [&](double ms) { return smearing_motion_rms(air, aperture, Duration::ms(ms), wind) / allowed; };
  constexpr double kShortest = 0.1, kLongest = 1000.0;
  double before = 5.0, motion_before = motion(before);
  double now = std::clamp(before / motion_before, kShortest, kLongest);
  for (int i = 0; i < 4 && now != before; ++i) {
    const double motion_now = motion(now);
    if (now == kLongest && motion_now <= 1.0) break;
    const double steepness = std::log(motion_now / motion_before) / std::log(now / before);
    before = std::exchange(
        now, std::clamp(now * std::pow(motion_now, -1.0 / std::max(steepness, 0.05)), kShortest, kLongest));
    motion_before = motion_now;
    if (std::abs(motion_now - 1.0) < 1e-3) break;
  }
  return Duration::ms(now);
}

}  // namespace halfarc
