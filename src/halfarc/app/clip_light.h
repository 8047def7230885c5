// Clip light: what a clip tells of the camera and of the light it got, for `check`: gain and read noise, the steps of
// brightness in use, the slope of an empty sky and the dust before it, and how its times stand against its file.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "halfarc/measure/background.h"
#include "halfarc/measure/clock.h"
#include "halfarc/measure/histogram.h"
#include "halfarc/measure/photon_transfer.h"
#include "halfarc/measure/shadows.h"

namespace halfarc {

struct ClipLight {
  std::optional<PhotonTransfer> camera;
  std::string why_no_camera;  // in plain words
  Histogram steps;
  std::optional<Gradient> sky;     // of a clip without an object
  std::optional<Shadows> shadows;  // of a clip that is evenly lit
  std::optional<TimeDoubt> times;
};

// `no_object`: the clip shows the sky alone, or may do so: a frame lit all over. `clock` may be absent. Errors: those
// of reading.
Result<ClipLight> read_light(const Recording& recording, bool no_object, const std::optional<Clock>& clock,
                             Threads threads = {});

// What a surface does not tell: it looks like a sky that brightens.
void forget_sky(ClipLight& light);

// A star's speckles count as a tenth of the gain at most (measure/photon_transfer.h): that goes into its error.
void mind_speckles(ClipLight& light);

std::vector<std::string> light_lines(const ClipLight& light);   // of the camera and the sky
std::vector<std::string> light_advice(const ClipLight& light);  // what to do about it

}  // namespace halfarc
