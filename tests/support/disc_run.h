// A made run with known truth: a disc with spots whose blurred picture has a closed form, so that every frame can be
// written down for its own shift and its own blur without any convolution.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

#include "halfarc/base/pixel.h"
#include "halfarc/base/random.h"
#include "halfarc/frames/plane.h"
#include "memory_recording.h"

namespace halfarc::testing {

struct DiscRun {
  int width = 96;
  int height = 96;
  Mosaic mosaic = Mosaic::rggb;
  std::size_t frames = 200;
  double radius = 24.0;      // pixels
  double peak = 120.0;       // electrons, also ADU
  double blur = 1.2;         // pixels, of the sharpest frame
  double blur_spread = 0.8;  // frames get up to this much more
  double wander = 2.0;       // pixels rms
  double read_noise = 1.0;
  double markings = 1.0;  // depth of the spots; 0: a blank disc
  double offset = 6.0;
  std::array<PixelOffset, 3> colour_shift = {{{0.3, 1.1}, {0.0, 0.0}, {-0.2, -1.4}}};
  std::uint64_t seed = 1;
};

// Brightness of the disc at p, blurred by a Gaussian of `sigma` pixels, in colour c; the disc's centre is at the
// origin.
inline double disc_brightness(const DiscRun& run, PixelOffset p, double sigma, std::size_t c) {
  struct Spot {
    double x, y, size, depth;
  };
  static constexpr std::array<Spot, 6> spots = {{{-8.0, 3.0, 2.0, -0.5},
                                                 {6.0, -7.0, 1.5, 0.6},
                                                 {2.0, 9.0, 1.2, -0.6},
                                                 {-3.0, -10.0, 3.0, -0.3},
                                                 {11.0, 5.0, 1.0, 0.8},
                                                 {-12.0, -4.0, 1.3, 0.5}}};
  static constexpr std::array<double, 3> colour = {1.0, 0.8, 0.5};
  const double limb = 0.5 * std::erfc((p.length() - run.radius) / (std::sqrt(2.0) * std::max(sigma, 1e-3)));
  double surface = 1.0;
  for (const Spot& s : spots) {
    const double wide = s.size * s.size + sigma * sigma;
    const double dx = p.x - s.x;
    const double dy = p.y - s.y;
    surface += run.markings * s.depth * s.size * s.size / wide * std::exp(-0.5 * (dx * dx + dy * dy) / wide);
  }
  return run.peak * colour[c] * limb * surface;
}

struct MadeRun {
  MemoryRecording recording;
  std::vector<PixelPoint> centres;  // true, green, one a frame
  std::vector<double> blurs;        // true, pixels
};

inline MadeRun make_disc_run(const DiscRun& run) {
  RecordingInfo info;
  info.path = "made.run";
  info.container = "made";
  info.width = run.width;
  info.height = run.height;
  info.mosaic = run.mosaic;
  std::vector<std::byte> samples;
  std::vector<PixelPoint> centres;
  std::vector<double> blurs;
  for (std::size_t f = 0; f < run.frames; ++f) {
    Rng rng = Rng(run.seed).child("frame", f);
    const PixelPoint centre = {centre_of(run.width) + run.wander * rng.normal(),
                               centre_of(run.height) + run.wander * rng.normal()};
    const double blur = run.blur + run.blur_spread * rng.uniform();
    for (int y = 0; y < run.height; ++y) {
      for (int x = 0; x < run.width; ++x) {
        for (int channel = 0; channel < samples_per_pixel(run.mosaic); ++channel) {
          std::size_t c = 1;
          if (is_bayer(run.mosaic)) c = static_cast<std::size_t>(colour_at(run.mosaic, x, y));
          if (run.mosaic == Mosaic::rgb) c = static_cast<std::size_t>(channel);
          const PixelOffset p = PixelPoint{double(x), double(y)} - centre - run.colour_shift[c];
          const double electrons = static_cast<double>(rng.poisson(disc_brightness(run, p, blur, c)));
          const double value = std::round(electrons + run.read_noise * rng.normal() + run.offset);
          samples.push_back(static_cast<std::byte>(static_cast<std::uint8_t>(std::clamp(value, 0.0, 255.0))));
        }
      }
    }
    centres.push_back(centre);
    blurs.push_back(blur);
  }
  return {MemoryRecording(info, std::move(samples)), std::move(centres), std::move(blurs)};
}

}  // namespace halfarc::testing
