// Star ring: what a star out of focus says about the optics: defocus, coma, astigmatism, and a plume of warm air.
//
// All frames are laid on top of each other by their centroids, and the picture of a point through an annular pupil and
// air (measure/blurred_star.h) is fitted to the mean by damped least squares: errors of the optics, r0, light and
// background together. Far from focus the hole in the ring tells coma; one to two waves from focus its brightness does.
//
// Standard errors come from the frames. To first order the fit is linear in the mean, so every frame pulls each term by
// an amount that can be worked out; the scatter of these pulls, with what they inherit from one another
// (measure/series.h), is what the air leaves uncertain.
//
// Signs: see measure/blurred_star.h. Defocus is given as positive, and the signs of astigmatism and spherical
// aberration are those they have if it is; coma's sign is known. Coma points the way its flare points in the image.
#pragma once

#include <optional>
#include <span>

#include "halfarc/base/angle.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/measure/clip_optics.h"
#include "halfarc/measure/index.h"

namespace halfarc {

// Waves at the edge of the pupil, of the wavelength given.
struct StarRing {
  Measured<double> defocus;  // its sign unseen
  Measured<double> coma_x, coma_y;
  Measured<double> astigmatism, astigmatism_45, spherical;
  Measured<Length> r0;     // of the air, at the wavelength given, along the line of sight
  std::optional<Measured<double>> plume;  // rms over the pupil of what is slow and up-down; nothing under four seconds
  Duration span;           // of the frames
  std::size_t frames = 0;
  double explained = 0.0;  // share of the mean's variance that the model explains

  // Of one component of coma.
  double coma_sigma() const;
};

// Warm air that pours out of a tube lies up and down, whatever the tube's own position, and changes over seconds; the
// air above changes in hundredths of a second. So the plume is what up-down coma and upright astigmatism do from second
// to second beyond what its faster changes lead to expect. One that stands still through the clip is not told from the
// telescope's own coma.
//
// `times` are seconds, one a frame; `up` is the direction away from the ground, clockwise from up on the image. Valid:
// a star 0.7 to 12 waves from focus in r0 of a tenth of the aperture or more, unsaturated; at least 50 frames over 1 s.
// Accuracy: 10 s in 2" seeing, coma up to 0.5 wave, 24 seeds each: 0.013 wave rms a component 5 waves out, 0.016 at 2.5
// and 0.024 at 1.3 waves, where it is read up to 8 % too small, which is in its error; squared z-scores 1.2 to 1.5
// (halfarc-accuracy --only collimation). Defocus 0.04 wave, 0.08 at 1.3 waves, where it and spherical
// aberration are hard to tell apart. What the picture holds besides (a pinched mirror, a decentred obstruction) is in
// no error: see `explained`. (tests/measure/star_ring_test.cpp)
// Errors (bad input): too few frames; nothing that looks like a star's picture.
Result<StarRing> measure_star_ring(const Recording& recording, const RecordingIndex& index,
                                   std::span<const double> times, const ClipOptics& optics, Angle up);

// How long a clip must be for its coma to have a standard error of `coma_sigma`, in the air of this one: errors fall
// with the square root of time. Valid: coma_sigma > 0.
Duration clip_for(const StarRing& ring, double coma_sigma);

}  // namespace halfarc
