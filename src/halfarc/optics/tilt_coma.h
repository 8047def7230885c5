// Tilt coma: what a collimation screw does to the image: the coma that a tilted mirror brings to the star on the axis.
//
// The tilt also moves the star, which is then brought back to the middle; so the light comes in at a small angle to the
// axis of the main mirror, and that mirror's own coma counts as well. Of a Schmidt-Cassegrain or Maksutov the secondary
// tilts about its vertex, with the opening beside it; of a Newtonian the main mirror does.
#pragma once

#include <optional>

#include "halfarc/base/length.h"
#include "halfarc/optics/telescope.h"

namespace halfarc {

// Coma W r^3 at the edge of the pupil, as a length of path for each radian of tilt; nothing for a refractor. By the
// Seidel sums S_II = -A A' y D(u/n) of both mirrors, the chief ray meeting each at the angle that the tilt and the
// bringing back make; of a paraboloid, (D/2)^3 / (4 f^2).
// Valid: tilts below a degree; the glass of a corrector, whose middle the chief ray passes, left out.
// Accuracy: 1 % of exact rays (third order), apertures of f/2 primaries 10 %. Source: [Welford1986] 8.
std::optional<Length> coma_per_radian(const Telescope& telescope, Length back_focus);

// How far the star moves on the sky for each angle of tilt, before it is brought back: 2 (distance to the focus) /
// (focal length), 2 for a tilted main mirror. It moves against the change of coma: where the flare grows to the right
// the star goes to the left. Nil for a refractor. Valid, accuracy: as the paraxial telescope. Source:
// [Schroeder2000] 2.
double star_shift_per_tilt(const Telescope& telescope, Length back_focus);

// The three collimation screws. Common practice, from memory: 0.7 mm pitch, on a circle of 0.09 of the aperture behind
// a secondary, of 0.4 behind a Newtonian's main mirror.
struct ScrewCircle {
  Length radius;
  Length pitch = Length::mm(0.7);
};
ScrewCircle usual_screws(const Telescope& telescope);

}  // namespace halfarc
