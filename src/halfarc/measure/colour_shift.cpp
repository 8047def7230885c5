#include "halfarc/measure/colour_shift.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "halfarc/measure/series.h"

namespace halfarc {
namespace {

constexpr double kLimbBias = 0.01;  // of the diameter: how far a cap or a phase may pull one colour's centroid

Measured<double> mean_of(const std::vector<double>& values) {
  const auto n = static_cast<double>(values.size());
  double mean = 0.0;
  for (const double v : values) mean += v / n;
  std::vector<double> left;
  for (const double v : values) left.push_back(v - mean);
  return {mean, std::sqrt(error_square(left)) / n};
}

}  // namespace

double ColourShift::sigma() const { return std::max({red_sigma.x, red_sigma.y, blue_sigma.x, blue_sigma.y}); }

std::optional<ColourShift> colour_shift_of_frames(const RecordingIndex& index, double disc_diameter) {
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
  const auto sigma = [&](double of_air) { return std::hypot(of_air, kLimbBias * disc_diameter); };
  return ColourShift{{red_x.value, red_y.value},
                     {blue_x.value, blue_y.value},
                     {sigma(red_x.sigma), sigma(red_y.sigma)},
                     {sigma(blue_x.sigma), sigma(blue_y.sigma)}};
}

}  // namespace halfarc
