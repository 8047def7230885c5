#include "halfarc/measure/colour_shift.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "halfarc/measure/series.h"

namespace halfarc {
namespace {

Measured<double> mean_of(const std::vector<double>& values) {
  const auto n = static_cast<double>(values.size());
  double mean = 0.0;
  for (const double v : values) mean += v / n;
  std::vector<double> left;
  for (const double v : values) left.push_back(v - mean);
  return {mean, std::sqrt(long_run_square(left)) / n};
}

}  // namespace

double ColourShift::sigma() const { return std::max({red_sigma.x, red_sigma.y, blue_sigma.x, blue_sigma.y}); }

std::optional<ColourShift> colour_shift_of_disc(const AlignedMean& mean, const DiscGuess& guess) {
  if (!mean.has_colours()) return std::nullopt;
  std::array<DiscFit, 3> fits;
  for (std::size_t c = 0; c < 3; ++c) {
    auto fit = fit_disc(mean.colours[c], guess);
    if (!fit || fit->doubt) return std::nullopt;
    fits[c] = std::move(*fit);
  }
  const DiscFit& green = fits[1];
  const auto sigma = [&](const DiscFit& f) -> PixelOffset {
    return {std::hypot(f.x.sigma, green.x.sigma), std::hypot(f.y.sigma, green.y.sigma)};
  };
  return ColourShift{fits[0].centre() - green.centre(), fits[2].centre() - green.centre(), sigma(fits[0]),
                     sigma(fits[2])};
}

std::optional<ColourShift> colour_shift_of_frames(const RecordingIndex& index) {
  std::vector<double> rx, ry, bx, by;
  for (const FrameIndex& f : index.frames) {
    if (!f.found) continue;
    rx.push_back(f.red_minus_green.x);
    ry.push_back(f.red_minus_green.y);
    bx.push_back(f.blue_minus_green.x);
    by.push_back(f.blue_minus_green.y);
  }
  if (rx.size() < 10) return std::nullopt;
  const auto red_x = mean_of(rx), red_y = mean_of(ry), blue_x = mean_of(bx), blue_y = mean_of(by);
  return ColourShift{{red_x.value, red_y.value},
                     {blue_x.value, blue_y.value},
                     {red_x.sigma, red_y.sigma},
                     {blue_x.sigma, blue_y.sigma}};
}

}  // namespace halfarc
