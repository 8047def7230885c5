#include "halfarc/restore/starlet.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "halfarc/restore/mirror.h"

namespace halfarc {
namespace {

constexpr std::array<float, 3> kHalfKernel = {6.0F / 16.0F, 4.0F / 16.0F, 1.0F / 16.0F};  // centre outwards

Plane<float> smooth_with_gaps(View<const float> in, int gap) {
  const int w = in.width();
  const int h = in.height();
  Plane<float> across(w, h);
  for (int y = 0; y < h; ++y) {
    for (int x = 0; x < w; ++x) {
      float sum = kHalfKernel[0] * in(x, y);
      for (int k = 1; k <= 2; ++k) {
        sum += kHalfKernel[static_cast<std::size_t>(k)] *
               (in(mirrored(x - k * gap, w), y) + in(mirrored(x + k * gap, w), y));
      }
      across(x, y) = sum;
    }
  }
  Plane<float> out(w, h);
  for (int y = 0; y < h; ++y) {
    const float* rows[5];
    for (int k = -2; k <= 2; ++k) rows[k + 2] = across.row(mirrored(y + k * gap, h));
    for (int x = 0; x < w; ++x) {
      out(x, y) = kHalfKernel[0] * rows[2][x] + kHalfKernel[1] * (rows[1][x] + rows[3][x]) +
                  kHalfKernel[2] * (rows[0][x] + rows[4][x]);
    }
  }
  return out;
}

// The one-dimensional smoothing filter of `scales` steps, as taps.
std::vector<double> smoothing_taps(int scales) {
  constexpr std::array<double, 5> kernel = {1.0 / 16, 4.0 / 16, 6.0 / 16, 4.0 / 16, 1.0 / 16};
  std::vector<double> taps = {1.0};
  for (int s = 0; s < scales; ++s) {
    const std::size_t gap = std::size_t{1} << s;
    std::vector<double> wider(taps.size() + 4 * gap, 0.0);
    for (std::size_t i = 0; i < taps.size(); ++i) {
      for (std::size_t k = 0; k < kernel.size(); ++k) wider[i + k * gap] += taps[i] * kernel[k];
    }
    taps = std::move(wider);
  }
  return taps;
}

}  // namespace

Starlet starlet(View<const float> picture, int scales) {
  Starlet result;
  result.smooth = Plane<float>(picture.width(), picture.height());
  for (int y = 0; y < picture.height(); ++y) std::copy_n(picture.row(y), picture.width(), result.smooth.row(y));
  for (int s = 0; s < scales; ++s) {
    Plane<float> smoother = smooth_with_gaps(result.smooth, 1 << s);
    Plane<float> detail = std::move(result.smooth);
    for (std::size_t i = 0; i < detail.count(); ++i) detail.samples()[i] -= smoother.samples()[i];
    result.details.push_back(std::move(detail));
    result.smooth = std::move(smoother);
  }
  return result;
}

double starlet_noise(int scale) {
  // The filter of a detail is the difference of two separable smoothings A and B; its squared norm in two dimensions
  // is |A|^4 - 2 (A.B)^2 + |B|^4 with one-dimensional products.
  const std::vector<double> fine = smoothing_taps(scale);
  const std::vector<double> coarse = smoothing_taps(scale + 1);
  const std::size_t offset = (coarse.size() - fine.size()) / 2;
  double aa = 0.0;
  double bb = 0.0;
  double ab = 0.0;
  for (const double b : coarse) bb += b * b;
  for (std::size_t i = 0; i < fine.size(); ++i) {
    aa += fine[i] * fine[i];
    ab += fine[i] * coarse[i + offset];
  }
  return std::sqrt(aa * aa - 2.0 * ab * ab + bb * bb);
}

double noise_from_finest_detail(View<const float> picture, View<const std::uint8_t> where) {
  const Starlet fine = starlet(picture, 1);
  std::vector<float> sizes;
  sizes.reserve(fine.details[0].count());
  for (int y = 0; y < picture.height(); ++y) {
    for (int x = 0; x < picture.width(); ++x) {
      if (where.empty() || where(x, y) != 0) sizes.push_back(std::abs(fine.details[0](x, y)));
    }
  }
  if (sizes.empty()) return 0.0;
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  constexpr double kMadPerSigma = 0.67448975;  // median |x| of a unit normal variable
  return static_cast<double>(*middle) / kMadPerSigma / starlet_noise(0);
}

}  // namespace halfarc
