// TargetLight: what reaches each colour plane of the owner's camera from one body at one altitude: how many electrons a
// second, and how each colour within the plane counts. Joins the body's spectrum, the air, the telescope, the filters
// and the sensor.
#pragma once

#include <array>

#include "halfarc/air/dispersion.h"
#include "halfarc/app/rig.h"
#include "halfarc/base/weather.h"
#include "halfarc/optics/exposure_choice.h"
#include "halfarc/optics/sunlight.h"
#include "halfarc/sky/body.h"

namespace halfarc {

// The brightest detail of a disc over its mean: bright zones and limb darkening. Source: common practice.
inline constexpr double kPeakOverMean = 1.5;

BodyColour colour_of(sky::Body body);

// How much each colour counts in the red, green and blue plane: body x air x telescope x filters x sensor.
// Valid: as the curves. Accuracy: as air/extinction.h and optics/passband.h. Source: those.
std::array<SpectralCurve, 3> plane_weights(const Rig& rig, sky::Body body, double airmass, Length height);

// Electrons a second in a pixel of each plane, for a disc of the given mean surface brightness.
// Valid, Accuracy, Source: as optics/light.h.
std::array<double, 3> target_electrons_per_s(const Rig& rig, const TrainSolution& train, sky::Body body,
                                             double magnitude_per_arcsec2, double airmass, Length height);

// Each plane as the air draws it out along the vertical, against 550 nm.
std::array<DispersedBand, 3> dispersed_planes(const Rig& rig, sky::Body body, const Weather& weather,
                                              Angle apparent_altitude, Length height);

// How high the air lifts each colour, in arcseconds.
SpectralCurve lift_arcsec(const Weather& weather, Angle apparent_altitude);

// The longest exposure whose own image motion leaves 95 % of half-arc contrast (0.051" rms along an axis): for r0 at
// the zenith, the airmass and the wind. Valid: 0.1 ms to 1 s. Accuracy: as air/image_motion.h. Source: common practice
// for the share.
Duration longest_still_exposure(Length r0_at_zenith, double airmass, Length aperture, Speed wind);

}  // namespace halfarc
