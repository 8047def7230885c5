// Clip geometry: what a clip tells of scale, angle, drift and colour once target, time and place are known.
//
// The disc is fitted again with the shape that the ephemeris gives it, so its size in pixels is the scale. The camera's
// angle comes from the pole of the disc, from a key pressed during the clip, or from the drift with the mount stopped;
// with it drift and colours split into along the zenith and across it, and what the corrector does can be told.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "halfarc/app/prism_reading.h"
#include "halfarc/app/rig.h"
#include "halfarc/app/target_view.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/camera_angle.h"
#include "halfarc/measure/colour_shift.h"
#include "halfarc/measure/drift_cause.h"
#include "halfarc/measure/known_disc.h"
#include "halfarc/measure/nudge.h"
#include "halfarc/measure/spots.h"

namespace halfarc {

struct GeometryAsked {
  std::optional<sky::Body> target;  // else what the recording says it shows
  std::optional<sky::Site> site;    // nothing: the sky is not asked
  std::optional<Utc> at;            // when the clip was taken; its own middle when not given
  bool mirrored = false;            // an odd number of mirrors, a star diagonal for one
  std::optional<Key> key;           // pressed during the clip
  bool mount_stopped = false;
  std::optional<Rig> rig;  // with a corrector, for what it does
  std::optional<TrainSolution> train;

  bool asked() const { return target || key || mount_stopped; }
};

struct MeasuredScale {
  Measured<double> arcsec_per_px;
  ScaleSource source = ScaleSource::ephemeris;
};

struct ClipGeometry {
  std::optional<TargetView> view;
  std::optional<KnownDisc> disc;
  std::optional<MeasuredScale> scale;
  std::optional<MoonMatch> moons;
  std::optional<KeyMotion> nudge;
  std::optional<CameraAngle> camera;
  std::optional<Angle> north;  // on the image, where the camera's angle and the target are known
  std::optional<SkyDrift> drift;
  DriftCause cause = DriftCause::none;
  std::optional<Wave> wave;
  std::optional<ColoursOnSky> colours;
  std::optional<PrismReading> prisms;
  std::vector<std::string> notes;
};

// What the rest of check has found, for geometry to start from.
struct GeometryFrom {
  const RecordingIndex& index;
  std::span<const double> times;
  std::optional<Utc> mid;
  const AlignedMean* mean = nullptr;  // of a disc, when there is one
  DiscGuess guess;
  const DiscFit* free_fit = nullptr;
  std::optional<PlateScale> scale;
  std::optional<ClipOptics> optics;
  const std::optional<Motion>& motion;
  const std::optional<ColourShift>& colours;
  std::span<const Spot> spots{};  // beside the disc
  Threads threads{};
};

ClipGeometry read_geometry(const GeometryAsked& asked, const GeometryFrom& from);

}  // namespace halfarc
