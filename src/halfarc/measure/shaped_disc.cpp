#include "halfarc/measure/shaped_disc.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "halfarc/base/fourier.h"

namespace halfarc {
namespace {

// std::hypot minds overflow, which takes most of the time of drawing.
double length(double x, double y) { return std::sqrt(x * x + y * y); }

constexpr int kFine = 4;  // samples across a pixel at the limb

struct Light {
  double flat = 0.0, domed = 0.0, inner_ring = 0.0, outer_ring = 0.0;
};

// How much of a step of width `ramp` about an edge lies inside, `depth` from it.
double inside(double depth, double ramp) { return std::clamp(0.5 + depth / ramp, 0.0, 1.0); }

class Drawing {
 public:
  Drawing(const DiscShape& shape, const DiscPlace& place)
      : shape_(shape), place_(place), up_(step_towards(place.pole)), right_{-up_.y, up_.x} {
    const double sign = place.mirrored ? 1.0 : -1.0;
    const Angle sun = shape.sun_from_pole * sign;  // clockwise from the pole
    sun_right_ = sin(shape.phase) * sin(sun);
    sun_up_ = sin(shape.phase) * cos(sun);
    sun_near_ = cos(shape.phase);
    if (shape.ring) ring_ratio_ = std::max(0.01, std::abs(sin(shape.ring->tilt)));
  }

  // Distance inside the globe's outline, pixels.
  double depth(PixelPoint at) const {
    const auto [u, v] = own(at);
    const double w = v / shape_.polar_ratio;
    const double r = length(u, w);
    const double slope = r > 0.0 ? length(u, w / shape_.polar_ratio) / r : 1.0;
    return (1.0 - r) * place_.radius / slope;
  }

  Light at(PixelPoint point, double ramp) const {
    Light light;
    const auto [u, v] = own(point);
    const double globe = inside(depth(point), ramp);
    double in_front = 0.0;  // share of the ring that passes before the globe here
    if (shape_.ring) {
      const double rho = length(u, v / ring_ratio_);
      const double grows = rho > 0.0 ? length(u, v / (ring_ratio_ * ring_ratio_)) / rho : 1.0;
      const auto band = [&](double from, double to) {
        const double scale = place_.radius / grows;
        return std::max(0.0, inside((rho - from) * scale, ramp) - inside((rho - to) * scale, ramp));
      };
      // The nearer half lies south of the centre when the north face is seen.
      const bool nearer = (v < 0.0) == (shape_.ring->tilt.rad() > 0.0);
      const double seen = nearer ? 1.0 : 1.0 - globe;
      light.inner_ring = seen * band(shape_.ring->inner_edge, shape_.ring->gap_begins);
      light.outer_ring = seen * band(shape_.ring->gap_ends, shape_.ring->outer_edge);
      if (nearer) in_front = std::min(1.0, light.inner_ring + light.outer_ring);
    }
    if (globe > 0.0) {
      const double w = v / shape_.polar_ratio;
      const double mu = std::sqrt(std::max(0.0, 1.0 - u * u - w * w));
      const double mu0 = std::max(0.0, sun_right_ * u + sun_up_ * w + sun_near_ * mu);
      const double shown = globe * (1.0 - in_front);
      // At the very limb of a fully lit disc both vanish together.
      light.flat = shown * (mu + mu0 > 1e-6 ? 2.0 * mu0 / (mu + mu0) : shape_.phase.rad() > 1e-6 ? 0.0 : 1.0);
      light.domed = shown * mu0;
    }
    return light;
  }

  double ring_reach() const { return shape_.ring ? shape_.ring->outer_edge * place_.radius : 0.0; }

 private:
  std::pair<double, double> own(PixelPoint at) const {  // equatorial radii: to the right of the pole, and along it
    const PixelOffset d = at - place_.centre;
    return {(d.x * right_.x + d.y * right_.y) / place_.radius, (d.x * up_.x + d.y * up_.y) / place_.radius};
  }

  DiscShape shape_;
  DiscPlace place_;
  PixelOffset up_, right_;
  double sun_right_ = 0.0, sun_up_ = 0.0, sun_near_ = 1.0, ring_ratio_ = 1.0;
};

// Cycles per pixel of sample k of a spectrum of n.
double frequency(int k, int n) { return static_cast<double>(2 * k > n ? k - n : k) / n; }

std::array<const Plane<float>*, 4> all_of(const DiscPictures& p) {
  return {&p.flat, &p.domed, &p.inner_ring, &p.outer_ring};
}
std::array<Plane<float>*, 4> all_of(DiscPictures& p) { return {&p.flat, &p.domed, &p.inner_ring, &p.outer_ring}; }

}  // namespace

DiscPictures draw_disc(const DiscShape& shape, const DiscPlace& place, int width, int height) {
  const Drawing drawing(shape, place);
  DiscPictures p{Plane<float>(width, height), Plane<float>(width, height), {}, {}};
  if (shape.ring) {
    p.inner_ring = Plane<float>(width, height);
    p.outer_ring = Plane<float>(width, height);
  }
  const double reach = std::max(place.radius, drawing.ring_reach()) + 3.0;
  const auto range = [reach](double centre, int size) {
    return std::pair{std::max(0, static_cast<int>(centre - reach)),
                     std::min(size, static_cast<int>(centre + reach) + 1)};
  };
  const auto [left, right] = range(place.centre.x, width);
  const auto [top, bottom] = range(place.centre.y, height);
  for (int y = top; y < bottom; ++y) {
    for (int x = left; x < right; ++x) {
      const PixelPoint middle{static_cast<double>(x), static_cast<double>(y)};
      const double depth = drawing.depth(middle);
      if (depth < -2.0 && length(middle.x - place.centre.x, middle.y - place.centre.y) > drawing.ring_reach() + 2.0)
        continue;
      const int fine = std::abs(depth) < 2.0 ? kFine : shape.ring ? kFine / 2 : 1;
      Light sum;
      for (int v = 0; v < fine; ++v) {
        for (int u = 0; u < fine; ++u) {
          const Light l = drawing.at({x + (u + 0.5) / fine - 0.5, y + (v + 0.5) / fine - 0.5}, 1.0 / fine);
          sum.flat += l.flat;
          sum.domed += l.domed;
          sum.inner_ring += l.inner_ring;
          sum.outer_ring += l.outer_ring;
        }
      }
      const double share = 1.0 / (fine * fine);
      p.flat(x, y) = static_cast<float>(share * sum.flat);
      p.domed(x, y) = static_cast<float>(share * sum.domed);
      if (!shape.ring) continue;
      p.inner_ring(x, y) = static_cast<float>(share * sum.inner_ring);
      p.outer_ring(x, y) = static_cast<float>(share * sum.outer_ring);
    }
  }
  return p;
}

DiscBlur::DiscBlur(const DiscPictures& sharp) : width_(sharp.flat.width()), height_(sharp.flat.height()) {
  const auto pictures = all_of(sharp);
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    if (pictures[i]->empty()) continue;
    spectra_[i] = Plane<std::complex<float>>(width_ / 2 + 1, height_);
    fourier_forward(width_, height_, pictures[i]->data(), spectra_[i].data());
  }
}

TelescopeBlur telescope_blur(const ClipOptics& optics, PixelOffset smear, int bin, int width, int height) {
  const double per_rad = 1.0 / (optics.scale.angle(bin).rad());
  const int half = width / 2 + 1;
  TelescopeBlur blur{Plane<float>(half, height), Plane<float>(half, height), Plane<float>(half, height),
                     cut_off(optics.pupil, optics.wavelength).per_rad() / per_rad};
  for (int ky = 0; ky < height; ++ky) {
    for (int kx = 0; kx <= width / 2; ++kx) {
      const double fx = frequency(kx, width), fy = frequency(ky, height);
      const double f = length(fx, fy);
      const auto nu = SpatialFrequency::per_rad(f * per_rad);
      const double turns = 2.0 * std::numbers::pi * (fx * smear.x + fy * smear.y) / bin;
      blur.transfer(kx, ky) =
          static_cast<float>(perfect_mtf(optics.pupil, optics.wavelength, nu) * std::exp(-0.5 * turns * turns));
      const double air = std::pow(f, 5.0 / 3.0);
      blur.air(kx, ky) = static_cast<float>(air);
      blur.air_without_tilt(kx, ky) = static_cast<float>(air * std::cbrt(std::min(1.0, f / blur.cut_off)));
    }
  }
  return blur;
}

DiscPictures DiscBlur::at(double sigma, double form, const TelescopeBlur* telescope) const {
  Plane<float> transfer(width_ / 2 + 1, height_);
  const double strength = 2.0 * std::numbers::pi * std::numbers::pi * sigma * sigma;
  if (telescope != nullptr) {
    const auto size = static_cast<float>(std::pow(strength, 5.0 / 6.0)), tilt = size * static_cast<float>(form);
    for (std::size_t i = 0; i < transfer.count(); ++i)
      transfer.samples()[i] =
          telescope->transfer.samples()[i] *
          std::exp(tilt * telescope->air_without_tilt.samples()[i] - size * telescope->air.samples()[i]);
  } else {
    for (int ky = 0; ky < height_; ++ky) {
      const double fy = frequency(ky, height_);
      for (int kx = 0; kx <= width_ / 2; ++kx) {
        const double fx = frequency(kx, width_);
        transfer(kx, ky) = static_cast<float>(std::exp(-std::pow(strength * (fx * fx + fy * fy), 0.5 * form)));
      }
    }
  }
  DiscPictures blurred;
  const auto pictures = all_of(blurred);
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    if (spectra_[i].empty()) continue;
    Plane<std::complex<float>> work = spectra_[i].copy();
    for (std::size_t k = 0; k < work.count(); ++k) work.samples()[k] *= transfer.samples()[k];
    *pictures[i] = Plane<float>(width_, height_);
    fourier_inverse(width_, height_, work.data(), pictures[i]->data());
  }
  return blurred;
}

}  // namespace halfarc
