// Hidden shot: the next recording of a hidden rig: what camera, telescope, air and sky together put on the sensor.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "halfarc/app/hidden_rig.h"
#include "halfarc/base/result.h"
#include "halfarc/simulate/shot.h"
#include "halfarc/sky/body.h"

namespace halfarc {

// What the telescope is pointed at: a body of the date, or a star of no name.
struct NightTarget {
  std::optional<sky::Body> body;
  Angle star_altitude = Angle::deg(52.0);
  double star_magnitude = 2.0;
  // Of a globe larger than the frame: the part that is looked at, from the middle of the disc, in radii, right and down
  // of the zenith.
  PixelOffset part{};
};

// The colours of a target at the hour of the rig, and its altitude as seen.
struct TargetLight {
  ColourLight colours;
  Angle altitude;
  double airmass = 1.0;
  std::array<double, 3> electrons_per_s{};  // of the mean pixel of a disc; of the whole of a star
};
// Errors: below the horizon (bad input); those of where_body.
Result<TargetLight> light_of(const HiddenRig& hidden, const NightTarget& target);

// Sets exposure and gain so that the brightest detail reaches `peak` of full scale, as app/target_light.h chooses them.
// A star's whole light is taken to fall on the ring that its defocus makes.
Result<void> set_exposure(HiddenRig& hidden, const NightTarget& target, double peak);

struct ClipWish {
  std::string name;
  std::uint64_t seed = 1;
  int width = 160;
  int height = 160;
  std::size_t frames = 200;
  FrameClock clock{};
  Duration clock_wrong_by{};  // what the computer's clock is ahead
  bool key_up = false;        // the key `up` is held in its middle, for a second or a third of it
};

// For how long a key is held in the middle of such a recording.
Duration key_held(const Timing& timing);

// The recording that begins now. A target that is outside the frame is not in the picture; one that is so far out of
// focus that its light covers the whole frame is a glow.
// Errors: as light_of; values no shot can have.
Result<ShotSpec> hidden_shot(const HiddenRig& hidden, const NightTarget& target, const ClipWish& wish);

}  // namespace halfarc
