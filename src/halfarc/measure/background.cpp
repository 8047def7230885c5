#include "halfarc/measure/background.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <vector>

#include "halfarc/base/pixel.h"
#include "halfarc/frames/mosaic.h"
#include "halfarc/frames/plane.h"
#include "halfarc/frames/stream.h"
#include "halfarc/measure/cells.h"
#include "halfarc/measure/series.h"

namespace halfarc {
namespace {

constexpr std::size_t kMostFrames = 100;
constexpr std::size_t kFewestCells = 12;
constexpr double kStandsOut = 4.0;                              // sigma
constexpr double kExtinction = 0.25, kExtinctionSpread = 0.10;  // mag an airmass

// Sums of whole cells; slivers at the edges are left out.
template <class T>
void add_cells(const RecordingInfo& info, std::span<const T> samples, int columns, std::vector<double>& sums) {
  const int per_pixel = samples_per_pixel(info.mosaic);
  const int rows = static_cast<int>(sums.size()) / columns;
  for (int y = 0; y < rows * kCell; ++y) {
    const T* row = samples.data() + static_cast<std::ptrdiff_t>(y) * info.width * per_pixel;
    for (int column = 0; column < columns; ++column) {
      double sum = 0.0;
      for (int i = 0; i < kCell * per_pixel; ++i) sum += static_cast<double>(row[column * kCell * per_pixel + i]);
      sums[static_cast<std::size_t>(y / kCell * columns + column)] += sum;
    }
  }
}

}  // namespace

Result<Gradient> background_gradient(const Recording& recording) {
  const RecordingInfo& info = recording.info();
  const int columns = info.width / kCell, rows = info.height / kCell;
  const auto count = static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows);
  if (count < kFewestCells || columns < 3 || rows < 3)
    return bad_input("the frame is too small to show a slope of the sky", info.path.string());
  std::vector<double> cells(count);
  Plane<std::byte> buffer(static_cast<int>(info.bytes_per_frame()), 1);
  const std::size_t frames = std::min(kMostFrames, info.frames);
  for (std::size_t f = 0; f < frames; ++f) {
    HALFARC_CHECK(recording.read(f * info.frames / frames, 1, buffer.samples()));
    visit_samples(info.sample, buffer.samples(),
                  [&]<class T>(std::span<const T> samples) { add_cells<T>(info, samples, columns, cells); });
  }
  const double per_cell = static_cast<double>(frames) * kCell * kCell * samples_per_pixel(info.mosaic);

  // A plane; places from -0.5 to 0.5 over the frame.
  Eigen::Matrix3d square = Eigen::Matrix3d::Zero();
  Eigen::Vector3d pull = Eigen::Vector3d::Zero();
  const auto row_of = [&](std::size_t i) {
    const int x = static_cast<int>(i) % columns, y = static_cast<int>(i) / columns;
    return Eigen::Vector3d(1.0, (x - centre_of(columns)) * kCell / info.width,
                           (y - centre_of(rows)) * kCell / info.height);
  };
  for (std::size_t i = 0; i < count; ++i) {
    square += row_of(i) * row_of(i).transpose();
    pull += row_of(i) * cells[i] / per_cell;
  }
  const Eigen::Vector3d plane = square.ldlt().solve(pull);
  double left = 0.0;
  for (std::size_t i = 0; i < count; ++i) left += std::pow(cells[i] / per_cell - row_of(i).dot(plane), 2);
  const Eigen::Matrix3d covariance = square.inverse() * (left / static_cast<double>(count - 3));

  // Per pixel for the direction, across the frame for the size.
  const PixelOffset slope{plane[1] / info.width, plane[2] / info.height};
  const PixelOffset sigma{std::sqrt(covariance(1, 1)) / info.width, std::sqrt(covariance(2, 2)) / info.height};
  const double size = slope.length();
  const double error =
      size > 0.0 ? std::hypot(slope.x * sigma.x, slope.y * sigma.y) / size : std::max(sigma.x, sigma.y);
  const double side = std::max(info.width, info.height);
  Gradient gradient;
  gradient.across = {size * side, error * side};
  if (size > kStandsOut * error) {
    const double sideways = std::hypot(slope.y * sigma.x, slope.x * sigma.y) / size;
    gradient.towards = {direction_of(slope), Angle::rad(sideways / size)};
  }
  return gradient;
}

std::optional<Measured<double>> fading(std::span<const double> hours, std::span<const double> flux,
                                       std::span<const double> airmass) {
  const double per_airmass = 0.4 * std::log(10.0);
  std::vector<double> t, v, x;
  for (std::size_t i = 0; i < std::min(hours.size(), flux.size()); ++i) {
    if (!(flux[i] > 0.0)) return std::nullopt;
    const double through = i < airmass.size() ? airmass[i] : 1.0;
    t.push_back(hours[i]);
    x.push_back(through);
    v.push_back(std::log(flux[i]) + per_airmass * kExtinction * through);
  }
  if (t.size() < 5) return std::nullopt;
  const auto n = static_cast<double>(t.size());
  const auto mean = [n](const std::vector<double>& values) {
    double sum = 0.0;
    for (const double value : values) sum += value / n;
    return sum;
  };
  const double mt = mean(t), mv = mean(v), mx = mean(x);
  double tt = 0.0, tv = 0.0, tx = 0.0;
  for (std::size_t i = 0; i < t.size(); ++i) {
    tt += (t[i] - mt) * (t[i] - mt);
    tv += (t[i] - mt) * (v[i] - mv);
    tx += (t[i] - mt) * (x[i] - mx);
  }
  if (!(tt > 0.0)) return std::nullopt;
  const double rate = tv / tt;
  std::vector<double> pulls;
  for (std::size_t i = 0; i < t.size(); ++i) pulls.push_back((t[i] - mt) * (v[i] - mv - rate * (t[i] - mt)));
  const double scatter = std::sqrt(error_square(pulls) * n / (n - 2.0)) / tt;
  const double of_extinction = per_airmass * kExtinctionSpread * tx / tt;
  return Measured<double>{rate, std::hypot(scatter, of_extinction)};
}

}  // namespace halfarc
