// check: what one short recording says, each reading with its standard error.
//
// The clip is indexed; what it shows decides which readings apply. Its sharper half is averaged, and the disc and the
// colours are fitted to that mean. Nothing is assumed of the telescope: angles appear when the scale is given.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/advise/advice.h"
#include "halfarc/app/clip_air.h"
#include "halfarc/app/clip_geometry.h"
#include "halfarc/app/clip_light.h"
#include "halfarc/app/donut.h"
#include "halfarc/app/rig.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/frames/recording.h"
#include "halfarc/measure/clock.h"
#include "halfarc/measure/colour_shift.h"
#include "halfarc/measure/disc_fit.h"
#include "halfarc/measure/fading.h"
#include "halfarc/measure/kind.h"
#include "halfarc/measure/motion.h"

namespace halfarc {

struct ClipCheck;
using ClipAdviser = std::function<std::vector<Advice>(const ClipCheck&)>;

struct CheckOptions {
  std::optional<ClipKind> kind;     // what the owner says it shows
  std::optional<PlateScale> scale;  // what the owner, or the owner's rig, says it is
  ScaleSource scale_source = ScaleSource::given;
  std::optional<ClipOptics> optics;  // of the owner's telescope: a star out of focus is told in waves
  std::optional<double> airmass;     // where it is known, seeing is told for overhead as well
  GeometryAsked geometry;            // target, time and place, a key pressed: for scale and angles
  Threads threads;
  ClipAdviser advise;  // app/clip_advice.h; without it there is no advice for the hand
};

// Readings that do not apply or could not be taken are absent, and `notes` says why where the owner would expect them.
struct ClipCheck {
  RecordingInfo recording;
  ClipKind kind = ClipKind::empty;
  bool kind_given = false;
  bool hollow = false;  // a star out of focus: a ring
  bool wide = false;    // no ring, but far wider than a point: a star or a disc far out of focus
  ClipSummary summary;
  std::optional<PlateScale> scale;
  ScaleSource scale_source = ScaleSource::given;
  std::optional<Clock> clock;
  std::size_t repeated = 0;  // frames with the very picture of the one before
  std::optional<Motion> motion;
  std::optional<Fading> fading;     // of the light, where the clip is long enough
  std::optional<PixelPoint> place;  // where the object is on the sensor, median of the frames
  std::optional<DiscFit> disc;      // centre as on the sensor, about `place`
  std::optional<ColourShift> colours;
  std::optional<sky::Body> target;  // as told, or as the recording says
  ClipGeometry geometry;            // where target, key or a stopped mount were told
  ClipLight light;
  std::optional<ClipAir> air;  // where the telescope is known
  std::optional<Donut> donut;  // of a star out of focus
  std::vector<std::string> notes;
  std::vector<Advice> advice;  // the greatest gain first

  std::optional<Utc> mid() const;
  double peak_fraction() const;  // of full scale
  // log2 of the object's peak above background over the background's noise: the brightness steps really told apart.
  std::optional<double> effective_bits() const;
};

// Errors: those of opening and reading; cancelled.
Result<ClipCheck> check_clip(const std::filesystem::path& clip, const CheckOptions& options, Progress& progress);

}  // namespace halfarc
