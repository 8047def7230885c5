// Derotation: pictures of a turning planet brought to one instant and averaged.
//
// Each slice of a run (a mean over so short a time that nothing moved by much) is warped to the target instant: a spot
// of the surface is fetched from where the spin had carried it, what does not belong to the surface (the sky beside it,
// a ring, a ring's shadow) from where the field's turning had carried it. Brightness that belongs to the place on the
// disc and not to the spot, the shading towards limb and terminator, stays: a sample is multiplied by the ratio of a
// blurred limb model at both places. A slice weighs by its frames and its light (noise), and at each pixel by how much
// of the spot it saw: fully when the spot faced us at least as squarely as in the target, less when it was more
// foreshortened, nothing when it was behind the limb or the ring. Moons and their shadows move by themselves and are
// drawn out. Interpolation is by a Lanczos kernel of 8 x 8 samples, which keeps 99 % of the contrast up to 0.33 cycles
// a pixel.
// Source: analytic geometry (turning_disc.h); kernel [Duchon1979].
#pragma once

#include <array>
#include <vector>

#include "halfarc/base/parallel.h"
#include "halfarc/restore/accumulate.h"
#include "halfarc/restore/turning_disc.h"

namespace halfarc {

// The shading of the disc as it is seen: 1 - k (1 - cosine of the Sun's angle), under a Gaussian blur.
struct LimbModel {
  double darkening = 0.6;  // k
  double blur = 2.0;       // sigma, pixels
};

struct DerotationTarget {
  Utc at;
  int width = 0;
  int height = 0;
  PixelPoint centre;  // of the globe in every colour plane of the result
  DiscOnImage disc;
  LimbModel limb;
};

struct DerotationSlice {
  Utc at;                                     // mean time of its frames
  std::array<const ColourPlanes*, 2> halves;  // empty planes where a half has no frames
  std::array<double, 2> frames{};             // in each half
  std::array<PixelPoint, 3> centre;           // of the globe in each colour plane
};

class Derotation {
 public:
  Derotation(const RotationModel& model, const DerotationTarget& target);

  void add(const DerotationSlice& slice, Threads threads);

  struct Result {
    std::array<ColourPlanes, 2> halves;  // colours on top of each other; the sky level is that of the first slice
    double unseen = 0.0;                 // share of the disc that no slice saw
  };
  Result mean() const;

 private:
  struct Source {  // where a pixel of the target comes from
    PixelOffset from_centre;
    float weight = 0.0F;
    float shading = 1.0F;
  };
  std::vector<Source> sources(const TurningDisc& then, Threads threads) const;
  Plane<float> turned(const Plane<float>& picture, double sky, PixelPoint centre, const std::vector<Source>& from,
                      Threads threads) const;
  float shading_at(PixelOffset from_centre) const;

  RotationModel model_;
  DerotationTarget target_;
  TurningDisc now_;
  Plane<float> limb_;
  std::array<ColourPlanes, 2> sum_, weight_;
  std::array<double, 3> sky_{};  // of the first slice
  ColourPlanes first_;           // slice, turned, sky taken off: by its light all others are measured
};

// How far a spot in the middle of the disc and a point of the limb move together in a second, pixels: what smears.
double smear_rate(const RotationModel& model, const DiscOnImage& disc);

}  // namespace halfarc
