#include "halfarc/app/compare_truth.h"

#include <algorithm>
#include <cmath>

#include "halfarc/restore/colour_align.h"
#include "halfarc/restore/halves.h"
#include "halfarc/restore/smooth.h"

namespace halfarc {
namespace {

constexpr double kSmoothArcsec = 1.3;  // what is broader is not detail
constexpr double kLimbArcsec = 1.6;    // this near to the limb is not inside
constexpr double kFadeArcsec = 1.5;    // over which the mask of the rings fades
constexpr float kLit = 0.02F;          // of the brightest: where the disc is

// Distance in pixels of every lit point from the nearest unlit one, cut at `most`; exact enough for fading a mask
// (chamfer steps 1 and root 2).
Plane<float> depth_inside(View<const float> scene, float most) {
  float brightest = 0.0F;
  for (int y = 0; y < scene.height(); ++y)
    brightest = std::max(brightest, *std::max_element(scene.row(y), scene.row(y) + scene.width()));
  Plane<float> depth(scene.width(), scene.height());
  for (int y = 0; y < scene.height(); ++y) {
    for (int x = 0; x < scene.width(); ++x) depth(x, y) = scene(x, y) > kLit * brightest ? most : 0.0F;
  }
  const auto relax = [&](int x, int y, int dx, int dy) {
    const int nx = x + dx;
    const int ny = y + dy;
    const float there = depth.view().contains(nx, ny) ? depth(nx, ny) : 0.0F;
    const float step = dx != 0 && dy != 0 ? 1.41421356F : 1.0F;
    depth(x, y) = std::min(depth(x, y), there + step);
  };
  for (int y = 0; y < scene.height(); ++y) {
    for (int x = 0; x < scene.width(); ++x) {
      for (const auto& [dx, dy] : {std::pair{-1, 0}, {0, -1}, {-1, -1}, {1, -1}}) relax(x, y, dx, dy);
    }
  }
  for (int y = scene.height() - 1; y >= 0; --y) {
    for (int x = scene.width() - 1; x >= 0; --x) {
      for (const auto& [dx, dy] : {std::pair{1, 0}, {0, 1}, {1, 1}, {-1, 1}}) relax(x, y, dx, dy);
    }
  }
  return depth;
}

double pearson(const Plane<float>& a, const Plane<float>& b, const Plane<float>& depth, double least) {
  double n = 0.0, sa = 0.0, sb = 0.0, saa = 0.0, sbb = 0.0, sab = 0.0;
  for (std::size_t i = 0; i < a.count(); ++i) {
    if (static_cast<double>(depth.samples()[i]) < least) continue;
    const double u = static_cast<double>(a.samples()[i]);
    const double v = static_cast<double>(b.samples()[i]);
    n += 1.0;
    sa += u;
    sb += v;
    saa += u * u;
    sbb += v * v;
    sab += u * v;
  }
  const double spread = std::sqrt(std::max(0.0, n * saa - sa * sa) * std::max(0.0, n * sbb - sb * sb));
  return spread > 0.0 ? (n * sab - sa * sb) / spread : 0.0;
}

Plane<float> copy_of(View<const float> v) {
  Plane<float> p(v.width(), v.height());
  for (int y = 0; y < v.height(); ++y) std::copy_n(v.row(y), v.width(), p.row(y));
  return p;
}

}  // namespace

PlaneComparison compare_plane(View<const float> image, View<const float> truth, View<const float> scene,
                              PlateScale scale, Angle finest) {
  PlaneComparison result;
  result.shift =
      colour_offset(spectrum_of(truth), spectrum_of(image), 0.25 * std::min(truth.width(), truth.height())).offset;
  const Plane<float> here = moved_by(image, -result.shift);
  const Plane<float> wanted = copy_of(truth);
  const auto pixels = [&](double arcsec) { return scale.pixels(Angle::arcsec(arcsec)); };
  const Plane<float> depth = depth_inside(scene, static_cast<float>(pixels(3.0)));
  const double smooth = pixels(kSmoothArcsec);
  result.detail_correlation =
      pearson(fine_detail(here, smooth), fine_detail(wanted, smooth), depth, pixels(kLimbArcsec));

  Plane<float> mask(depth.width(), depth.height());
  for (std::size_t i = 0; i < mask.count(); ++i) {
    const float t = std::clamp(depth.samples()[i] / static_cast<float>(pixels(kFadeArcsec)), 0.0F, 1.0F);
    mask.samples()[i] = 0.5F - 0.5F * std::cos(3.14159265F * t);
  }
  // Broad light is taken off first: under a mask it would leak to all frequencies, where both pictures share it.
  const RingCorrelation rings = ring_correlation(fine_detail(here, smooth), fine_detail(wanted, smooth), mask);
  // Five rings together, as in the claim: a single ring of a small disc crosses one half by chance.
  RingCorrelation pooled = pooled_for_claim(rings);
  std::fill(pooled.threshold.begin(), pooled.threshold.end(), 0.5);
  const double f = fitted_crossing(rings, 0.5, resolved_frequency(pooled)).value;
  result.half_correlation_period = std::max(finest, scale.angle(1.0 / std::max(f, 1e-3)));
  return result;
}

}  // namespace halfarc
