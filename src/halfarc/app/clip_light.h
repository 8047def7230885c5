// Clip light: what a clip tells of the camera and of the light it got, for `check`: gain and read noise, the steps of
// brightness in use, the slope of an empty sky, and how its times stand against its file.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "halfarc/measure/background.h"
#include "halfarc/measure/clock.h"
#include "halfarc/measure/histogram.h"
#include "halfarc/measure/photon_transfer.h"

namespace halfarc {

struct ClipLight {
  std::optional<PhotonTransfer> camera;
  std::string why_no_camera;  // in plain words
  Histogram steps;
  std::optional<Gradient> sky;  // of a clip without an object
  std::optional<TimeDoubt> times;
};

// `empty`: the clip shows no object. `clock` may be absent. Errors: those of reading.
Result<ClipLight> read_light(const Recording& recording, bool empty, const std::optional<Clock>& clock,
                             Threads threads = {});

// A star's speckles count as a tenth of the gain at most (measure/photon_transfer.h): that goes into its error.
void mind_speckles(ClipLight& light);

std::vector<std::string> light_lines(const ClipLight& light);   // of the camera and the sky
std::vector<std::string> light_advice(const ClipLight& light);  // what to do about it

}  // namespace halfarc
