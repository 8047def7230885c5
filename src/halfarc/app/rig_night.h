// RigNight: what the owner's own equipment asks for through one night: when to carry the tube out, when dew comes,
// where the levers stand hour by hour, and how each target is exposed.
#pragma once

#include <optional>
#include <vector>

#include "halfarc/air/dew.h"
#include "halfarc/air/settling.h"
#include "halfarc/app/rig.h"
#include "halfarc/base/utc.h"
#include "halfarc/optics/exposure_choice.h"
#include "halfarc/sky/body.h"
#include "halfarc/sky/site.h"

namespace halfarc {

// The weather of the night as the owner types it; what was not typed is that of a usual night and said to be so.
struct NightAir {
  Temperature evening = Temperature::celsius(10.0);  // at sunset
  TemperatureDifference fall_per_hour = TemperatureDifference::kelvin(1.0);
  double relative_humidity = 0.7;  // at sunset
  double cloud = 0.0;
  Length r0_at_zenith = Length::cm(8.0);  // seeing of 1.3"
  Speed wind = Speed::m_per_s(8.0);       // aloft, weighted with the turbulence
  bool assumed = true;
};

struct CoolingClock {
  TemperatureDifference within = TemperatureDifference::kelvin(1.0);
  Utc ready;  // when the first window begins
  Utc out;    // the latest moment to carry it out, or the earliest thought of when it never settles
  Settling settling;
  TemperatureDifference then;  // mirror over the air in the tube when the first window begins
  Measured<Angle> seeing;      // what that adds to the width of a star
};

struct DewClock {
  DewMargin at_first;       // when the first window begins
  std::optional<Utc> fogs;  // when the front glass reaches the dew point, before `until`
  Utc until;
};

// The fringes at one moment, and what the levers do about them.
struct LeverRow {
  Utc at;
  Angle altitude;                           // as seen
  Angle red_minus_green, blue_minus_green;  // how much higher, without a corrector
  Angle inside_green;                       // rms width of green, without a corrector
  std::optional<LeverSetting> levers;       // nothing when the rig has no corrector
};

struct TargetRig {
  sky::Body body = sky::Body::moon;
  std::vector<LeverRow> rows;              // every half hour of its windows
  LeverRow best;                           // at its best moment
  std::optional<ExposureChoice> exposure;  // at its best moment
};

// One target as the plan hands it over.
struct TargetHours {
  struct Moment {
    Utc at;
    Angle altitude;  // as seen
  };
  sky::Body body = sky::Body::moon;
  std::vector<Moment> moments;  // half-hours of its windows, in order of time
  Moment best;
  std::optional<double> surface_magnitude;  // per square arcsecond
};

struct RigNight {
  Rig rig;
  NightAir air;
  std::optional<CoolingClock> cooling;  // nothing when no target has a window
  std::optional<DewClock> dew;
  std::vector<TargetRig> targets;
};

// Valid: as air/settling.h, air/dew.h, app/target_light.h. The air falls straight from sunset on and is level before.
// Errors: a train that cannot be solved.
Result<RigNight> rig_night(const Rig& rig, const NightAir& air, const sky::Site& site, Utc sunset, Utc sunrise,
                           const std::vector<TargetHours>& targets);

}  // namespace halfarc
