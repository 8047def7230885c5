// Surface: what a body of our own invention looks like, and how its parts shine.
//
// Reflectance is stated for red, green and blue as a fraction of a white screen's, as a function of the place on the
// globe, with detail down to a given fineness. How brightness falls towards limb and terminator is the mixture of
// Lambert's law and Lommel and Seeliger's named in [McEwen1991]: 2 L mu0 / (mu0 + mu) + (1 - L) mu0, L per colour.
// Valid: invented bodies. Accuracy: the law of limb darkening is exact as stated. Source: [McEwen1991].
#pragma once

#include <array>
#include <cstdint>

#include "halfarc/simulate/body.h"

namespace halfarc {

using Reflectance = std::array<float, 3>;  // red, green, blue

// What of a surface changes from night to night.
struct SurfaceWeather {
  Duration age;         // how long winds have carried the spots of the banded giant, each at its own pace
  double clouds = 0.0;  // 0 to 1: white clouds over the ruddy disc, seen most in the blue
};

// `finest`: waves a radius beyond which detail is left out.
Reflectance reflectance(BodyKind kind, const SurfacePoint& point, double finest, std::uint64_t seed,
                        const SurfaceWeather& weather = {});

// Brightness of a surface of unit reflectance, 1 when seen and lit from straight above, for each colour.
Reflectance limb_darkening(BodyKind kind, double to_us, double to_sun);

// A ring in the plane of the equator, at a distance from the globe's centre in equatorial radii: the reflectance of its
// lit side and the share of light it stops. Both 0 outside the ring and in its gap.
struct RingPoint {
  Reflectance reflectance{};
  double opacity = 0.0;
};
RingPoint ring_at(double radius);
inline constexpr double kRingOuterRadius = 2.24;

}  // namespace halfarc
