#include "halfarc/measure/band_power.h"

#include <cstddef>

namespace halfarc {
namespace {

constexpr int kTall = 96;  // quads

// A box holds 9 quads and the comparison weighs it 4 : -1 -1 -1 -1, so that the comparison of mean quads is that of the
// sums over 4 x 9.
constexpr double kUnit = 36.0 * 36.0;
// The noise of a quad enters the comparison 9 (16 + 4) times and the diagonal difference 4 times.
constexpr double kNoiseGain = 180.0 / 4.0;

}  // namespace

BandPower band_power(std::span<const float> quads, int wide, int tall, const BandKernels& kernels,
                     std::vector<float>& scratch) {
  const int step = tall > kTall ? 3 : 1;
  const int reach = 3 / step;  // rows of boxes to the next box that touches
  const int rows = (tall - 2) / step;
  if (wide < 9 || rows < 2 * reach + 1) return {};
  const auto width = static_cast<std::ptrdiff_t>(wide);
  scratch.resize(static_cast<std::size_t>(wide) * static_cast<std::size_t>(rows));
  const float* const first = quads.data();
  float* const boxes = scratch.data();
  for (int k = 0; k < rows; ++k) {
    const float* above = first + k * step * width;
    kernels.boxes(above, above + width, above + 2 * width, wide, boxes + k * width);
  }
  double seen = 0.0, diagonal = 0.0;
  for (int k = reach; k < rows - reach; ++k) {
    const float* row = boxes + k * width;
    seen += static_cast<double>(kernels.contrast(row - reach * width, row, row + reach * width, wide));
  }
  int diagonals = 0;
  for (int y = 0; y + 1 < tall; y += 4, ++diagonals) {
    diagonal += static_cast<double>(kernels.diagonal(first + y * width, first + (y + 1) * width, wide));
  }
  return {static_cast<float>(seen * tall / (rows - 2 * reach) / kUnit),
          static_cast<float>(diagonal * tall / diagonals * kNoiseGain / kUnit)};
}

}  // namespace halfarc
