// The dispersion corrector by exact rays: where the image really falls, and what the prisms do to its sharpness.
//
// A prism in parallel light does no harm. In a closing cone its two faces are passed at different slants by different
// rays, so that it adds astigmatism and coma, the more the steeper the cone, the wider the levers and the farther away
// the focus; its glass adds the spherical aberration of a plate. The rays decide, not a rule about the focal ratio.
#pragma once

#include <array>
#include <optional>

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/optics/cone.h"
#include "halfarc/optics/prism_pair.h"
#include "halfarc/optics/ray.h"

namespace halfarc {

// The four faces, the first at z = 0. Valid: wedges that do not touch. Accuracy: exact.
std::array<FlatFace, 4> faces(const PrismPair& pair, Levers levers, Length wavelength);

// Where the middle ray of the cone meets the plane that lies `to_focus` behind the last face, counted from the axis.
// Nothing when a face throws the ray back (wedges of tens of degrees).
// Valid: as `faces`. Accuracy: exact. Source: [BornWolf1999] 4.9.
std::optional<SensorOffset> traced_shift(const PrismPair& pair, Levers levers, const CorrectorPlace& place,
                                         Length wavelength);

// The image of a star, with the telescope focused and pointed so that it is sharp in that plane.
// Valid, accuracy: as `image_through`.
std::optional<ConeImage> traced_image(const PrismPair& pair, Levers levers, const CorrectorPlace& place,
                                      Length wavelength);

// The corrector at the work of cancelling the air's dispersion from red to blue in one place of the train; called for
// two places it says which order of the parts is better. Before an amplifier the distance is long against the focal
// length, so that less prism is needed; behind it the cone is gentler.
// Valid, accuracy: as `marks_for` and `image_through`.
struct CorrectorAtWork {
  LeverSetting setting;
  ConeImage image;  // at the given wavelength
};
std::optional<CorrectorAtWork> at_work(const PrismPair& pair, const CorrectorPlace& place, Angle air, Length red,
                                       Length blue, Length wavelength);

}  // namespace halfarc
