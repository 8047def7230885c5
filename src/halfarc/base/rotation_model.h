// RotationModel: how a planet's disc turns and grows during an hour or two, as a handful of plain numbers.
//
// sky/turning.h makes one from the ephemeris; restore/ uses it to bring frames of different instants to one. Neither
// knows the other. Each changing quantity is a value at the reference, a rate, and a change of the rate, which is exact
// enough (0.01 deg) for two hours either way.
#pragma once

#include "halfarc/base/angle.h"
#include "halfarc/base/angular_rate.h"
#include "halfarc/base/utc.h"

namespace halfarc {

// An angle that changes smoothly.
struct TurningAngle {
  Angle at_reference;
  AngularRate rate;                 // at the reference
  double rate_change_per_s2 = 0.0;  // rad/s^2

  constexpr Angle after(Duration d) const {
    return at_reference + rate * d + Angle::rad(0.5 * rate_change_per_s2 * d.s() * d.s());
  }
};

struct RotationModel {
  Utc reference;
  // The longitude, positive towards the globe's east (the sense of its turning for a forward rotator), of the middle of
  // the disc. It falls with time for a forward rotator. Not wrapped: differences are what counts.
  TurningAngle central_east_longitude;
  TurningAngle sub_observer_latitude;  // planetocentric
  // The north pole on an erect, unmirrored picture of an altitude-azimuth mount: clockwise from up, up being the
  // zenith.
  TurningAngle pole_from_zenith;
  // The north pole's position angle on the sky, from celestial north through east, for an equatorial mount.
  TurningAngle pole_from_north;
  TurningAngle equatorial_diameter;
  double polar_over_equatorial = 1.0;  // of the globe itself, not of its outline
  // The Sun, for the shading of the disc: the difference in east longitude from the middle of the disc, and its
  // latitude.
  TurningAngle sun_from_centre_longitude;
  TurningAngle sub_solar_latitude;  // planetocentric

  constexpr Duration since_reference(Utc t) const { return t - reference; }
};

}  // namespace halfarc
