// Clip readings: the names and units under which the logbook keeps what `check`, `focus` and `make` found. They are
// never changed, only added to, since trends and advice look for them.
//
//   scale                 arcsec/px   only where this clip measured it
//   disc_diameter         px          equatorial; flattening besides, a pure number
//   drift_x, drift_y      px/s, arcsec/s where the scale is known; rms_x, rms_y likewise
//   camera_angle          deg         where the zenith lies on the image, clockwise from up
//   red_green_x, _y       px          red less green; blue_green_x, _y likewise
//   coma_x, coma_y        waves       of a star out of focus, the way its flare points; ring_defocus, astigmatism,
//                                     astigmatism_45 and plume likewise
//   r0                    cm          along the line of sight, of a star out of focus, at the wavelength of its waves
//   seeing_fwhm, r0_500   arcsec, cm  along the line of sight at 500 nm; coherence (ms) besides; seeing_zenith (arcsec)
//                                     as it would be overhead, where the airmass is known
//   hole_x, hole_y        of the outer diameter of a ring
//   frames_per_s          1/s
//   dropped, peak_share, saturated, sky, noise, sharpness   without a standard error
//   light_per_hour        1/h         change of the logarithm of the target's light
//   focus_left            turn        what is left to turn after a series; with waves_per_turn (waves/turn) and
//                                     backlash (turn), on its last clip
//   focus_position        turn        where the knob was for a clip of a series; focus_contrast, a share, beside it
//   d_over_r0             of the frames that became an image
//   resolved              arcsec      period of the finest detail on which two halves of that recording agree
#pragma once

#include <vector>

#include "halfarc/app/check_clip.h"
#include "halfarc/app/find_focus.h"
#include "halfarc/app/make_image.h"
#include "halfarc/logbook/readings.h"

namespace halfarc {

std::vector<ReadingRow> readings_of(const ClipCheck& check);

// Of clip number `clip` of the series. What the series says as a whole stands with its last clip, and only when it is
// trustworthy.
std::vector<ReadingRow> readings_of(const FoundFocus& found, std::size_t clip);

std::vector<ReadingRow> readings_of(const MadeImage& made);

}  // namespace halfarc
