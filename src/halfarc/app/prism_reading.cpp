#include "halfarc/app/prism_reading.h"

#include <cmath>

#include "halfarc/app/target_light.h"
#include "halfarc/optics/prism_colour.h"

namespace halfarc {

ColoursOnSky colours_on_sky(const ColourShift& shift, PlateScale scale, Measured<Angle> zenith) {
  const PixelOffset d = (shift.blue_minus_green - shift.red_minus_green) * scale.arcsec_per_px();
  const double s = scale.arcsec_per_px();
  const double sx = s * std::hypot(shift.red_sigma.x, shift.blue_sigma.x);
  const double sy = s * std::hypot(shift.red_sigma.y, shift.blue_sigma.y);
  const PixelOffset up = step_towards(zenith.value), right{-up.y, up.x};
  const double along = d.x * up.x + d.y * up.y, across = d.x * right.x + d.y * right.y;
  const double turn = zenith.sigma.rad();
  return {{along, std::hypot(sx * up.x, sy * up.y, across * turn)},
          {across, std::hypot(sx * right.x, sy * right.y, along * turn)}};
}

Angle split_by_air(const Rig& rig, sky::Body body, Length site_height, Angle altitude, double airmass) {
  const SpectralCurve lift = lift_arcsec(sky::usual_weather(site_height), altitude);
  const auto planes = plane_weights(rig, body, airmass, site_height);
  return spread_of(lift, planes[2]).centre - spread_of(lift, planes[0]).centre;
}

std::optional<PrismReading> read_prisms(const ColoursOnSky& colours, const Rig& rig, const TrainSolution& train,
                                        sky::Body body, const sky::Site& site, Angle altitude, double airmass) {
  const auto place = corrector_place(train);
  if (!rig.corrector || !place) return std::nullopt;
  const Weather weather = sky::usual_weather(site.height);
  const SpectralCurve lift = lift_arcsec(weather, altitude);
  const auto planes = plane_weights(rig, body, airmass, site.height);
  PrismReading reading;
  reading.air_arcsec = split_by_air(rig, body, site.height, altitude, airmass).arcsec();
  if (!(reading.air_arcsec > 0.0)) return std::nullopt;
  const auto marks_for_pull = [&](double arcsec) {
    const double share = arcsec / reading.air_arcsec;
    const SpectralCurve part = SpectralCurve::of([&](Length wavelength) { return share * lift.at(wavelength); });
    return marks_for(*rig.corrector, *place, part, planes[0], planes[2]);
  };
  const LeverSetting best = marks_for_pull(reading.air_arcsec);
  reading.best_marks = best.marks;
  reading.enough = best.enough;
  // What the corrector adds to the air: straight against it, in the best of cases.
  const double against = reading.air_arcsec - colours.along.value, aside = colours.across.value;
  const double pull = std::hypot(against, aside);
  const double sigma = std::hypot(colours.along.sigma * against, colours.across.sigma * aside) / std::max(pull, 1e-9);
  const double more = marks_for_pull(pull + sigma).marks, less = marks_for_pull(std::max(0.0, pull - sigma)).marks;
  reading.marks = {marks_for_pull(pull).marks, 0.5 * (more - less)};
  // Straight against the air is half a turn from the zenith; to the right of the zenith is clockwise of it.
  reading.roll_off = {wrap_signed(Angle::rad(std::atan2(-aside, against))),
                      Angle::rad(std::hypot(colours.across.sigma * against, colours.along.sigma * aside) /
                                 std::max(pull * pull, 1e-9))};
  reading.pulls = pull > 5.0 * sigma;
  return reading;
}

}  // namespace halfarc
