// A blurred star: the picture of a point through an annular pupil with errors of the optics, through air, on pixels.
//
// The pupil's field exp(2 pi i W) with
//     W = d r^2 + s r^4 + r^2 (cx x + cy y) + a (x^2 - y^2) + b 2 x y      (waves at the edge, r in pupil radii)
// gives a point spread; its spectrum is multiplied by what the air leaves,
//     exp(-3.44 (lambda nu / r0)^(5/3) (1 - k (lambda nu / D)^(1/3))),
// and by that of a square pixel. k tells how much of the image motion the aligning of the frames has removed: 0 in a
// long exposure, near 1 when all of it is gone. Derivatives come in closed form, from one transform each.
//
// A picture never tells the sign of its even errors: turning the pupil round and changing the sign of d, s, a and b
// together gives the same picture, and coma keeps its sign. So coma is known where inside and outside focus is not.
// Sources: [Goodman2005] 6, [Fried1966].
#pragma once

#include <array>
#include <vector>

#include "halfarc/base/pixel.h"
#include "halfarc/frames/plane.h"
#include "halfarc/optics/pupil.h"

namespace halfarc {

// The order of the parameters. Waves at the edge of the pupil; the natural logarithm of r0 in metres at the star's
// wavelength; k above; the place of the star against the middle of the picture, pixels.
enum StarTerm { kDefocus, kComaX, kComaY, kAstigmatism, kAstigmatism45, kSpherical, kLogR0, kAligned, kStarX, kStarY };
constexpr std::size_t kStarTerms = 10;
using StarTerms = std::array<double, kStarTerms>;

class BlurredStar {
 public:
  // Pictures of `size` pixels square of the given scale. Valid: size even, 8 to 1024; pixels up to 4 lambda / D.
  BlurredStar(const Pupil& pupil, Length wavelength, PlateScale scale, int size);

  int size() const { return size_; }

  // Fills `picture` with the star's picture, its light summing to 1 over an endless sensor, and `slopes` with its
  // derivatives along each term; slopes may be null.
  // Valid: errors of the optics that throw light no farther than half the picture. Accuracy: 4e-3 of the brightest
  // pixel, derivatives 1 % (tests/measure/blurred_star_test.cpp).
  void draw(const StarTerms& terms, Plane<float>& picture, std::array<Plane<float>, kStarTerms>* slopes) const;

 private:
  struct Cell {
    int index;  // in the grid of the field
    float open;
    float x, y;  // pupil radii
  };
  struct Bin {
    float fx, fy;   // cycles per pixel
    float pixel;    // contrast that the pixel leaves
    float steep;    // 3.44 (lambda nu)^(5/3), metres^(5/3)
    float lessens;  // (lambda nu / D)^(1/3)
  };
  int size_, fold_, grid_;
  std::vector<Cell> cells_;
  std::vector<Bin> bins_;
  float light_ = 0.0F;  // of the open pupil on the grid
};

}  // namespace halfarc
