// A shaped disc: how the disc of a planet of known geometry looks, phase, flattening and ring included, under any blur.
//
// The ephemeris tells everything about a disc's outline but its place, size and turn on the image. Here that outline is
// drawn, pixel by pixel with the pixel's own width, as a few pictures whose sum, each with a brightness of its own, is
// the disc: two laws of scattered light that together span flat and limb-darkened globes, and two rings.
//
// The blur is that of air and telescope. Where the telescope is known it is its own transfer function times
// exp(-(2 pi^2 s^2 f^2)^(5/6) (1 - t (f / f_c)^(1/3))): [Fried1966]'s for Kolmogorov's air, t = 0 for long exposures
// and 1 where every frame's tilt was taken off, as when frames are put on top of each other; f_c is the telescope's
// cut-off. Where it is not, exp(-(2 pi^2 s^2 f^2)^(p/2)) stands for both: a Gaussian of width s for p = 2, wings below.
#pragma once

#include <array>
#include <complex>
#include <optional>

#include "halfarc/base/angle.h"
#include "halfarc/base/pixel.h"
#include "halfarc/frames/plane.h"
#include "halfarc/measure/clip_optics.h"

namespace halfarc {

struct RingOutline {
  Angle tilt;                 // of the observer above the ring's plane, positive when its north face is seen
  double inner_edge = 1.527;  // of the bright ring, in equatorial radii of the globe
  double gap_begins = 1.950, gap_ends = 2.027;
  double outer_edge = 2.269;
};

// What the ephemeris says of a disc. Directions are position angles on the sky, north through east.
struct DiscShape {
  double polar_ratio = 1.0;  // apparent polar over equatorial diameter
  Angle phase;               // Sun - body - observer
  Angle sun_from_pole;       // position angle of the middle of the bright limb less that of the north pole
  std::optional<RingOutline> ring;
};

// A disc of that shape on the image. On a mirrored image position angles run clockwise.
struct DiscPlace {
  PixelPoint centre;
  double radius = 0.0;  // equatorial, pixels
  Angle pole;           // on the image, clockwise from up
  bool mirrored = false;
};

// Brightness 1 where fully lit; light that comes from the pixel's whole area.
struct DiscPictures {
  Plane<float> flat;                    // 2 mu0 / (mu + mu0), single scattering; even over a fully lit disc
  Plane<float> domed;                   // mu0, a white wall; darkened towards limb and terminator
  Plane<float> inner_ring, outer_ring;  // even; empty without a ring
};

// Valid: radius above 2 pixels, polar ratios of 0.5 to 1, phases below 170 deg. Accuracy: 2e-3 of a pixel's light at
// the limb; the ring's edges to a pixel's ramp; the globe's shadow on the ring and the ring's on the globe are left
// out. Source: geometry of an ellipsoid far away, its surface's slope taken as that of a sphere (exact to the
// flattening times the sine of the phase); laws of [McEwen1991].
DiscPictures draw_disc(const DiscShape& shape, const DiscPlace& place, int width, int height);

// The perfect telescope on the half spectrum of width x height pixels, `bin` of the sensor's each, its picture drawn
// out along a line: `smear` is the standard deviation of that in the sensor's pixels, as the air's dispersion makes it.
struct TelescopeBlur {
  Plane<float> transfer;
  Plane<float> air, air_without_tilt;  // f^(5/3), and that times (f / f_c)^(1/3)
  double cut_off = 0.0;                // cycles per pixel
};
TelescopeBlur telescope_blur(const ClipOptics& optics, PixelOffset smear, int bin, int width, int height);

// The blur, on pictures that repeat beyond their borders.
class DiscBlur {
 public:
  explicit DiscBlur(const DiscPictures& sharp);

  // `form` is t with a telescope, p without. Valid: sigma in pixels, above 0. Accuracy: single precision.
  DiscPictures at(double sigma, double form, const TelescopeBlur* telescope) const;

 private:
  int width_ = 0, height_ = 0;
  std::array<Plane<std::complex<float>>, 4> spectra_;
};

}  // namespace halfarc
