// Drift cause: how an object wanders in altitude and azimuth during a clip, and what most likely makes it.
//
// The sky's own motion tells a mount that does not track; sudden steps are keys or backlash; a wave that comes back is
// a gear; what is slow and steady is the mount's alignment, its level, or a mirror that settles.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "halfarc/base/angle.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"
#include "halfarc/measure/motion.h"

namespace halfarc {

// Arcseconds a second: towards the zenith, and sideways on the sky, positive towards larger azimuth.
struct SkyDrift {
  Measured<double> altitude;
  Measured<double> sideways;
};

enum class DriftCause { none, not_tracking, steps, wave, slow };

// The drift along and across the zenith's direction on the image. The camera angle's error counts in both.
// Valid: any. Accuracy: first order in the errors.
SkyDrift split_drift(const Motion& motion, PlateScale scale, Measured<Angle> zenith, bool mirrored);

// A wave in the track: its period and half its swing.
struct Wave {
  Duration period;
  double amplitude = 0.0;  // pixels, along the axis where it is larger
};
// Nothing when no single wave makes up half of what is left about drift and steps, or the clip is shorter than a
// minute. Valid: periods of 5 s to half the clip. Source: least squares, period by period.
std::optional<Wave> find_wave(const RecordingIndex& index, std::span<const double> times, const Motion& motion);

// `sky_rate`: how fast the target would drift if the mount stood still, arcseconds a second.
// Valid: a scale good to 10 %. Accuracy: a likely cause, not a proof; bounds are common practice.
DriftCause cause_of(const Motion& motion, PlateScale scale, double sky_rate, const std::optional<Wave>& wave);

// In plain words; empty for none.
std::string in_words(DriftCause cause);
std::string name_of(DriftCause cause);  // "none", "not tracking", "steps", "wave", "slow"

}  // namespace halfarc
