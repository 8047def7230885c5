// HiddenRig: a telescope as it really stands on one night, which its owner can only find out by looking.
//
// The rig is the owner's; everything that the file cannot know is drawn from a seed: the camera's angle, the slack and
// the true pitch of the knob, which way each screw throws coma, how the bubble of the roll lies, where the mount
// drifts. Temperatures follow the tube's own heat (air/tube.h). A hand changes it by the controls of advise/control.h,
// time by itself. What it does to the light is worked out from that state, never stored.
//
// Errors of the optics are in waves of the green plane at the edge of the pupil; image directions clockwise from up.
// Valid: telescopes of mirrors and objectives in a train without a diagonal.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "halfarc/advise/control.h"
#include "halfarc/air/tube.h"
#include "halfarc/app/rig.h"
#include "halfarc/base/spectral_curve.h"
#include "halfarc/base/utc.h"
#include "halfarc/optics/prism_colour.h"
#include "halfarc/simulate/collimation.h"
#include "halfarc/simulate/mirror_knob.h"
#include "halfarc/simulate/plume.h"
#include "halfarc/sky/site.h"

namespace halfarc {

struct HiddenMount {
  SkyOffset drift_per_second;                 // of the image
  Angle key_per_second = Angle::arcsec(8.0);  // that the telescope moves while a key is held
  Angle altitude_per_newton_m;                // by which the target jumps, up and to the right on the sky
  Angle azimuth_per_newton_m;
  SkyOffset target;  // where the target is on the image, from the middle, mirror and prisms at rest
};

struct HiddenCorrector {
  double marks = 0.0;  // of both levers
  Angle roll;          // as its own scale and bubble say
  Angle bubble_error;  // the true roll is so much farther clockwise
};

struct HiddenRig {
  Rig rig;              // its train is what is screwed together now
  TrainSolution train;  // of that
  sky::Site site;
  std::uint64_t seed = 1;
  Utc now;

  MirrorKnob knob;
  Length travel_per_turn;  // of the mirror towards the sky, for a turn clockwise
  Length mirror_at_zero;   // towards the sky from the design focus, with the knob's mirror at 0 turns
  Collimation collimation;
  Angle zenith;  // where it lies on the image: the camera's angle
  HiddenCorrector corrector;
  HiddenMount mount;

  TubeHeat heat;
  TubeState tube;
  Outside outside;
  Utc evening;             // the zero of `outside`
  Temperature focused_at;  // of the tube, at which mirror_at_zero counts
  double relative_humidity = 0.7;
  Length r0_at_zenith = Length::cm(8.5);

  Duration exposure = Duration::ms(8.0);
  double e_per_adu = 0.8;

  Length green;  // the mean wavelength of the green plane
};

// Carried out at `out`, warm from indoors, with the train of `rig`; focus a wave or two off, collimated badly.
// Errors: a train that cannot be solved.
Result<HiddenRig> hidden_rig(const Rig& rig, const sky::Site& site, Utc out, std::uint64_t seed);

// Time passes: the mirror cools, the mount drifts.
void pass(HiddenRig& hidden, Duration time);

// The hand has done it. Waiting (cooling) passes the time; a spacing changes the train.
// Errors: a spacing with which the train has no focus.
Result<void> apply(HiddenRig& hidden, const Turned& turned);

// Another train behind the telescope: focus changes, and the target jumps by what the mount gives way.
// Errors: a train that cannot be solved.
Result<void> refit(HiddenRig& hidden, const Train& train);

// Waves of defocus for a turn of the knob clockwise: its sign is that of the travel.
double waves_per_turn(const HiddenRig& hidden);
// Positive where the mirror stands too far towards the sky. Accuracy: 1 %, linear in the mirror's way.
double defocus_waves(const HiddenRig& hidden);
OpticsError coma(const HiddenRig& hidden);
PlumeSpec plume(const HiddenRig& hidden);
// How fast focus drifts as the tube cools.
double defocus_waves_per_minute(const HiddenRig& hidden);

// Where the target is seen, from the middle of the frame: mount, mirror, screws and prisms together.
SkyOffset target_place(const HiddenRig& hidden);

// What the air and the prisms do to each colour: `air` is how high each wavelength is lifted, in arcseconds, `planes`
// how much it counts in red, green and blue.
struct ColourLight {
  SpectralCurve air;
  std::array<SpectralCurve, 3> planes;
};
// Where each plane falls against green, and how its own light is drawn out: the standard deviation along the line of
// its widest spread. What lies beside that line, the glass's own curve, is left out.
struct ColourPlaces {
  std::array<SkyOffset, 3> shift;
  std::array<SkyOffset, 3> smear;
};
ColourPlaces colour_places(const HiddenRig& hidden, const ColourLight& light);

// What can be put right, and the turns that would do it: of two screws; of the knob, arriving towards the sky; of
// levers and roll; of the keys.
enum class Mending { collimation, focus, colours, centre };
// `share` of what is wrong is mended, as finely as a hand can turn. Nothing for a rig without the control in question.
// Valid: share 0 to 2. Accuracy: 1/128 turn of a screw, 1/1000 turn of the knob, 0.1 mark, 1 deg, 0.1 s.
std::vector<Turned> to_mend(const HiddenRig& hidden, Mending what, double share, const ColourLight& light);

}  // namespace halfarc
