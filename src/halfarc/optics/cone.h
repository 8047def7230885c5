// Cone: the light of a star closing on the focus, and the image that is left when flat glass stands in its way.
//
// Every ray of the cone is followed exactly through the faces. The length of the rays about the point where they
// agree best is the wavefront; the owner focuses and centres, so piston, tilt and defocus are taken out first.
#pragma once

#include <optional>
#include <span>

#include "halfarc/base/length.h"
#include "halfarc/optics/ray.h"
#include "halfarc/optics/wavefront.h"

namespace halfarc {

struct Cone {
  double focal_ratio = 20.0;
  double obstruction = 0.34;  // of the pupil's diameter
};

struct ConeImage {
  BenchPoint focus;        // where the rays agree best
  Wavefront wavefront;     // the named errors, fitted over the annulus; its defocus is that of best focus
  double rms_waves = 0.0;  // of all that is left, named or not
  double strehl = 1.0;     // the share of the perfect peak
  Length spot_radius;      // rms distance of the rays from their centre, at `focus`
};

// The image of a star whose light would close on `focus` if there were no glass. Amounts are in waves of `wavelength`.
// Nothing when a face throws a ray back.
// Method: 6 x 16 rays, Gauss-Legendre in the square of the radius; least squares of the nine terms of third order.
// Valid: focal ratio >= 3; wavefront below half a wave rms. Accuracy: 1e-4 waves for glass up to 20 mm at f/5 or
// slower. Source: [BornWolf1999] 5.3; the rays [Forbes1988].
std::optional<ConeImage> image_through(const Cone& cone, BenchPoint focus, std::span<const FlatFace> faces,
                                       Length wavelength);

}  // namespace halfarc
