// Blemishes: what stays in the same place of every frame: hot pixels and the shadows of dust.
//
// A hot pixel adds electrons to its own site, each a fixed number of its own (exponential about the mean). Dust before
// the sensor is out of focus: its shadow is a soft disc that takes a share of the light.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "halfarc/base/pixel.h"
#include "halfarc/base/random.h"
#include "halfarc/frames/plane.h"

namespace halfarc {

struct DustShadow {
  PixelPoint place;
  double diameter_px = 24.0;  // to half of the loss
  double loss = 0.1;          // in its middle
};

struct BlemishSpec {
  double hot_per_million = 0.0;  // pixels
  double hot_electrons = 200.0;  // mean, in one exposure
  std::vector<DustShadow> dust;
};

class Blemishes {
 public:
  // The same for the same arguments. Valid: place and size in pixels of a frame of width x height.
  Blemishes(const BlemishSpec& spec, int width, int height, Rng rng);

  // Changes the mean electrons of every pixel, of a frame of that size.
  void mark(View<float> electrons) const;

  struct HotPixel {
    int x, y;
    float electrons;
  };
  const std::vector<HotPixel>& hot_pixels() const { return hot_; }
  // The share of light that dust leaves at a place.
  static double light_kept(const std::vector<DustShadow>& dust, PixelPoint place);

 private:
  Plane<float> kept_;  // empty without dust
  std::vector<HotPixel> hot_;
};

}  // namespace halfarc
