// Plan: one night at one site: what is worth recording when, why, and what to do at what hour. The use case behind
// `halfarc plan`.
//
// For every target the night is walked in ten-minute steps. A step is usable when the Sun is low enough for the target,
// the target clears the traced horizon by 2 deg, and it stands at 10 deg or more. Runs of usable steps become windows,
// split where the target comes to stand over a warm obstacle; each is scored by the seeing it allows and told in words.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "halfarc/app/rig_night.h"
#include "halfarc/base/angular_rate.h"
#include "halfarc/base/result.h"
#include "halfarc/sky/feature.h"
#include "halfarc/sky/horizon.h"
#include "halfarc/sky/night.h"
#include "halfarc/sky/site.h"
#include "halfarc/sky/sun_safety.h"

namespace halfarc {

struct PlanRequest {
  sky::Site site;
  std::string site_name;  // may be empty
  sky::Horizon horizon;
  Utc noon;                            // local mean noon before the night (sky/night.h)
  std::vector<sky::Body> targets;      // Moon and planets
  std::vector<sky::Feature> features;  // that the owner follows; of targets only
  Angle allowed_smear = Angle::arcsec(0.25);
  sky::SunRule sun_rule;
  std::optional<Rig> rig;  // for the clocks, the levers and the exposures
  NightAir air;
};

struct StripStep {
  Utc at;
  sky::Horizontal place;  // airless
  Angle seen_altitude;    // refracted
  Angle obstacle;         // the traced horizon below it
  double airmass = 0.0;   // nil below the horizon
  Angle dispersion;       // from red (620 nm) to blue (460 nm); nil below the lowest usable altitude
  bool usable = false;
  bool over_warm = false;  // less than 20 deg above a warm obstacle
};

// Seeing there over seeing at the zenith: airmass^0.6. Source: [Fried1966].
double seeing_factor(double airmass);

struct NightWindow {
  Utc begins, ends;
  Utc best;                    // its highest moment
  Angle best_altitude;         // seen
  double airmass = 1.0;        // then
  double seeing_factor = 1.0;  // seeing there over seeing at the zenith: airmass^0.6
  Angle dispersion;            // from red (620 nm) to blue (460 nm), then
  sky::Obstacle over = sky::Obstacle::open;
  bool over_warm = false;
  AngularRate field_rotation;  // then
  Duration longest_run;        // for the allowed smear
  double score = 0.0;          // what the window is ranked by: 1 is the zenith all night
  std::string reason;
};

struct TargetNight {
  sky::Body body = sky::Body::moon;
  std::optional<Utc> rises, transits, sets;
  std::vector<StripStep> strip;
  std::vector<NightWindow> windows;  // best first
  Angle diameter;                    // at the best moment, else in the middle of the night
  std::optional<double> magnitude;
  std::optional<double> surface_magnitude;  // per square arcsecond
  double illuminated_fraction = 1.0;
  Angle sun_separation;
  std::string none_because;  // when there is no window
};

// The lights of the night at one step.
struct SkyStep {
  Utc at;
  Angle sun_altitude, moon_altitude;  // airless
};

enum class NoteKind { twilight, moon, satellite, feature, task };

struct NightNote {
  Utc at;
  std::string words;
  NoteKind kind = NoteKind::task;
};
std::string_view name_of(NoteKind kind);

struct NightPlan {
  PlanRequest asked;
  sky::Night night;
  std::vector<SkyStep> strip;        // Sun and Moon, at the steps of the targets' strips
  std::vector<TargetNight> targets;  // the best first
  std::optional<RigNight> rig;
  std::vector<NightNote> events;  // in order of time
  std::vector<NightNote> tasks;   // in order of time
  std::vector<std::string> cautions;
};

// Valid: any latitude, 1750 to 2249.   Accuracy: windows to 10 min; times of events as sky/.
// Errors: a date outside the ephemeris; the Sun as a target (refused); a rig whose train cannot be solved.
// Source: seeing with airmass [Fried1966]; ranking weights are common practice, and without a rig the two hours of
// cooling.
Result<NightPlan> plan_night(const PlanRequest& request);

}  // namespace halfarc
