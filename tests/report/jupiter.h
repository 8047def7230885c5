// An invented observation with every field filled, for the tests of the report's forms.
#pragma once

#include "halfarc/report/observation.h"

namespace halfarc::testing {

inline Observation full_observation() {
  Observation o;
  o.object = "Jupiter";
  o.middle = Utc::civil(2026, 11, 26, 4, 59, 59.9).value();
  o.span = Duration::s(88.0);
  o.observer = "A. Watcher <at the harbour>";
  o.station = Station{"Kelderhaven", Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};
  o.telescope = "Schmidt-Cassegrain";
  o.aperture = Length::mm(203.0);
  o.focal_ratio = 20.04;
  o.arcsec_per_px = 0.1753;
  o.camera = "3.45 um, RGGB";
  o.filter = "ultraviolet and infrared cut";
  o.corrector = "two prisms, levers at 3.5";
  o.exposure = Duration::ms(8.0);
  o.gain_e_per_adu = 0.8;
  o.frames_per_s = 120.0;
  o.frames_taken = 10560;
  o.frames_kept = 2100;
  DiscGeometry d;
  d.meridians = {{"I", Angle::deg(123.44)}, {"II", Angle::deg(7.0)}};
  d.diameter = Angle::arcsec(43.21);
  d.lit = 0.9931;
  d.phase_angle = Angle::deg(9.5);
  d.tilt = Angle::deg(-1.2);
  d.pole = Angle::deg(18.0);
  o.disc = d;
  o.altitude = Angle::deg(48.0);
  o.airmass = 1.34;
  o.seeing = StatedSeeing{{Angle::arcsec(1.5), Angle::arcsec(0.1)}, "from the frames"};
  o.transparency = "4 of 5";
  o.orientation = Orientation{Angle::deg(190.0), false};
  o.derotated = Duration::minutes(12.0);
  o.resolution = Measured<Angle>{Angle::arcsec(0.81), Angle::arcsec(0.02)};
  o.criterion = "half-bit";
  o.processing = {"frames graded", "two halves aligned", "Wiener filter"};
  o.comments = "A white spot follows the meridian.";
  return o;
}

}  // namespace halfarc::testing
