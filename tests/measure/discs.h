// Discs for the tests of measure/: an oblate, limb-darkened disc with a softened limb, drawn straight from its
// definition with nothing borrowed from the code under test, on any mosaic, with noise when asked.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstring>
#include <span>
#include <vector>

#include "halfarc/base/random.h"
#include "halfarc/frames/recording.h"

namespace halfarc::test {

struct DrawnDisc {
  double x = 0.0, y = 0.0;      // centre, pixels
  double diameter = 60.0;       // equatorial
  double flattening = 0.0;      // 1 - polar / equatorial
  double pole_angle_deg = 0.0;  // clockwise from up
  double darkening = 0.4;       // level at the limb is (1 - darkening) of the centre's before blurring
  double blur = 1.5;            // sigma of the Gaussian blur, pixels
  double level = 120.0;         // ADU above background at the centre
  double spots = 0.0;           // depth of a pattern of fine markings on the face
};

// Brightness of the sharp disc at a point, 1 at its centre.
inline double sharp_disc(const DrawnDisc& d, double x, double y) {
  const double a = d.pole_angle_deg * 3.14159265358979323846 / 180.0;
  // The pole points to (sin a, -cos a): clockwise from up with y down.
  const double along = (x - d.x) * std::sin(a) - (y - d.y) * std::cos(a);
  const double across = (x - d.x) * std::cos(a) + (y - d.y) * std::sin(a);
  const double r2 =
      std::pow(across / (0.5 * d.diameter), 2) + std::pow(along / (0.5 * d.diameter * (1.0 - d.flattening)), 2);
  if (r2 >= 1.0) return 0.0;
  const double face = 1.0 + d.spots * std::sin(0.9 * (x - d.x)) * std::cos(1.1 * (y - d.y));
  return (1.0 - d.darkening * (1.0 - std::sqrt(1.0 - r2))) * face;
}

// The blurred disc by its definition: drawn on a grid `fine` times finer, then a Gaussian sum along x and along y.
inline std::vector<double> draw(const DrawnDisc& d, int width, int height, int fine = 4) {
  const int w = width * fine, h = height * fine;
  std::vector<double> grid(static_cast<std::size_t>(w * h));
  const auto at = [w](int x, int y) { return static_cast<std::size_t>(y * w + x); };
  for (int y = 0; y < h; ++y) {
    for (int x = 0; x < w; ++x) {
      grid[at(x, y)] = sharp_disc(d, (x + 0.5) / fine - 0.5, (y + 0.5) / fine - 0.5);
    }
  }
  const double sigma = d.blur * fine;
  const int reach = static_cast<int>(std::ceil(4.5 * sigma));
  std::vector<double> kernel(static_cast<std::size_t>(2 * reach + 1));
  double sum = 0.0;
  for (int k = -reach; k <= reach; ++k) {
    kernel[static_cast<std::size_t>(k + reach)] = sigma > 0.0 ? std::exp(-0.5 * k * k / (sigma * sigma)) : 1.0;
    sum += kernel[static_cast<std::size_t>(k + reach)];
  }
  for (double& k : kernel) k /= sum;
  std::vector<double> rows(static_cast<std::size_t>(width * h)), out(static_cast<std::size_t>(width * height));
  // A pixel is the mean of its fine samples, so the sums over them and over the kernel are taken together.
  for (int y = 0; y < h; ++y) {
    for (int x = 0; x < width; ++x) {
      double value = 0.0;
      for (int s = 0; s < fine; ++s) {
        for (int k = -reach; k <= reach; ++k) {
          const int u = x * fine + s + k;
          if (u >= 0 && u < w) value += kernel[static_cast<std::size_t>(k + reach)] * grid[at(u, y)];
        }
      }
      rows[static_cast<std::size_t>(y * width + x)] = value / fine;
    }
  }
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      double value = 0.0;
      for (int s = 0; s < fine; ++s) {
        for (int k = -reach; k <= reach; ++k) {
          const int v = y * fine + s + k;
          if (v >= 0 && v < h) {
            value += kernel[static_cast<std::size_t>(k + reach)] * rows[static_cast<std::size_t>(v * width + x)];
          }
        }
      }
      out[static_cast<std::size_t>(y * width + x)] = d.level * value / fine;
    }
  }
  return out;
}

inline RecordingInfo layout(int width, int height, Mosaic mosaic, Sample sample, int bits) {
  RecordingInfo info;
  info.path = "drawn";
  info.container = "drawn";
  info.width = width;
  info.height = height;
  info.mosaic = mosaic;
  info.sample = sample;
  info.bits = bits;
  info.frames = 1;
  return info;
}

struct Exposure {
  double background = 6.0;                       // ADU
  double electrons_per_adu = 0.6;                // photon noise; 0 for none
  double read_noise = 1.5;                       // ADU
  std::array<double, 3> colours{1.0, 1.0, 1.0};  // brightness of red, green, blue
};

// One frame as a reader hands it out. `discs` holds the levels of red, green and blue at every pixel.
inline std::vector<std::byte> expose(const RecordingInfo& info, std::span<const std::vector<double>> discs,
                                     const Exposure& e, Rng rng) {
  std::vector<std::byte> bytes(info.bytes_per_frame());
  const double full = info.full_scale();
  const auto put = [&](std::size_t i, double level) {
    double v = e.background + level;
    if (e.electrons_per_adu > 0.0) v += rng.normal() * std::sqrt(std::max(0.0, level) / e.electrons_per_adu);
    v += rng.normal() * e.read_noise;
    if (info.sample == Sample::f32) {
      const auto f = static_cast<float>(v);
      std::memcpy(bytes.data() + 4 * i, &f, 4);
      return;
    }
    const auto whole = static_cast<std::uint16_t>(std::clamp(std::round(v), 0.0, full));
    if (info.sample == Sample::u16) {
      std::memcpy(bytes.data() + 2 * i, &whole, 2);
    } else {
      bytes[i] = static_cast<std::byte>(whole);
    }
  };
  std::size_t i = 0;
  for (int y = 0; y < info.height; ++y) {
    for (int x = 0; x < info.width; ++x) {
      const auto pixel = static_cast<std::size_t>(y * info.width + x);
      if (info.mosaic == Mosaic::rgb) {
        for (std::size_t c = 0; c < 3; ++c) put(i++, e.colours[c] * discs[c % discs.size()][pixel]);
      } else {
        const std::size_t c = is_bayer(info.mosaic) ? static_cast<std::size_t>(colour_at(info.mosaic, x, y)) : 1;
        put(i++, e.colours[c] * discs[c % discs.size()][pixel]);
      }
    }
  }
  return bytes;
}

}  // namespace halfarc::test
