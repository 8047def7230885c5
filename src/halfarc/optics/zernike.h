// Zernike polynomials, the usual alphabet of wavefronts over a round pupil.
//
// Numbered from 1 and normalised to unit mean square over the full disc, as in [Noll1976]: 1 piston, 2 and 3 tilts
// along x and y, 4 defocus, 5 and 6 astigmatism, 7 and 8 coma along y and x, 11 spherical aberration. Even numbers
// carry cos(m theta), odd ones sin(m theta). Over an annulus they are no longer orthogonal.
#pragma once

namespace halfarc {

struct ZernikeMode {
  int n = 0;          // radial order
  int m = 0;          // azimuthal order, >= 0
  bool sine = false;  // sin(m theta) rather than cos(m theta)
};

// Valid: j >= 1. Accuracy: exact. Source: [Noll1976] table I.
ZernikeMode zernike_mode(int j);

// The value of polynomial j at (x, y) in units of the pupil's radius; theta runs from the x axis towards the y axis.
// Valid: 1 <= j <= 200, x^2 + y^2 <= 1 (continued as a polynomial outside). Accuracy: 1e-10. Source: [Noll1976].
double zernike(int j, double x, double y);

// How many waves at the edge of the pupil one wave rms of the mode stands for: defocus written W rho^2 and coma
// written W rho^3 cos(theta), which is how opticians state them (docs/conventions.md).
// Valid: full disc. Accuracy: exact. Source: [BornWolf1999] 9.2.
inline constexpr double kDefocusEdgePerRms = 3.4641016151377544;  // 2 sqrt(3)
inline constexpr double kComaEdgePerRms = 8.4852813742385695;     // 3 sqrt(8)

}  // namespace halfarc
