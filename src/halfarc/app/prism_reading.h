// Prism reading: what air and dispersion corrector leave of a target's colours, along the zenith and across it, and
// where that says the corrector stands now and should stand.
#pragma once

#include <optional>

#include "halfarc/app/rig.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"
#include "halfarc/measure/colour_shift.h"
#include "halfarc/sky/body.h"
#include "halfarc/sky/site.h"

namespace halfarc {

// Blue less red, arcseconds on the sky: towards the zenith, and to the right of it on the image.
struct ColoursOnSky {
  Measured<double> along, across;
};
// The camera angle's error counts in both. Valid: any. Accuracy: first order in the errors.
ColoursOnSky colours_on_sky(const ColourShift& shift, PlateScale scale, Measured<Angle> zenith);

// How much higher the air alone puts blue than red, as this rig's planes see that body.
// Valid: above the horizon. Accuracy: 2 % (usual weather for the height). Source: air/dispersion.h.
Angle split_by_air(const Rig& rig, sky::Body body, Length site_height, Angle altitude, double airmass);

struct PrismReading {
  double air_arcsec = 0.0;   // blue above red by the air alone, as this rig's planes see it
  Measured<double> marks;    // where both levers stand, by what they cancel
  double best_marks = 0.0;   // where they should
  bool enough = true;        // false: the corrector cannot cancel all of it
  Measured<Angle> roll_off;  // of its pull from straight against the air, clockwise on the image; by half a turn:
                             // levers pull with the air
  bool pulls = true;  // false: it cancels so little that its roll cannot be told
};

// Nothing without a corrector. Valid: both levers at the same marks. Accuracy: that of the colours and of the rig's
// prisms (optics/prism_pair.h).
std::optional<PrismReading> read_prisms(const ColoursOnSky& colours, const Rig& rig, const TrainSolution& train,
                                        sky::Body body, const sky::Site& site, Angle altitude, double airmass);

}  // namespace halfarc
