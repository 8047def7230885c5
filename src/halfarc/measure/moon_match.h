// Moon match: which spots beside a planet are which of its moons, and what their places say of scale, camera angle and
// whether the picture is mirrored.
//
// Spots are put in the complex plane, up on the image along the real axis and right along the imaginary one; moons with
// north along the real axis and east along the imaginary one. Sky and picture then differ by one complex factor, whose
// modulus is the scale and whose argument the direction of north, and by the error of the disc's centre, which is the
// same for all spots; where the picture is not mirrored, the moons enter as their conjugates, for position angles run
// anticlockwise there. Two moons determine the factor and leave two measurements to test it with. Every pair of spots
// is tried for every pair of moons.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"

namespace halfarc {

// Where the ephemeris has a moon, from the planet's centre.
struct MoonPlace {
  std::string name;
  Angle north, east;
  Angle sigma;  // one way
};

// A spot from the planet's centre on the image.
struct SpotPlace {
  PixelOffset at;
  double sigma = 0.0;  // pixels, one way
};

// What is known beforehand.
struct MatchFrom {
  Measured<double> arcsec_per_px;
  double centre_sigma = 0.0;  // pixels, one way: of the planet's centre
  bool mirrored = false;      // decides where the moons do not
};

struct MoonMatch {
  Measured<double> arcsec_per_px;
  Measured<Angle> north;  // on the image, clockwise from up
  bool mirrored = false;
  bool mirror_known = false;       // false: the moons lie so nearly on a line that both ways fit
  std::vector<std::string> moons;  // that were recognised
  double chi2 = 0.0;               // of 2 x moons - 2 measurements
};

// Nothing where fewer than two spots are moons, or where two answers fit nearly as well.
// Valid: any. Accuracy: errors are those of the spots, the centre and the ephemeris; tested by scatter
// (moon_match_test.cpp).
std::optional<MoonMatch> match_moons(std::span<const SpotPlace> spots, std::span<const MoonPlace> moons,
                                     const MatchFrom& from);

}  // namespace halfarc
