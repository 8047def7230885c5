#include "halfarc/measure/photon_transfer.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "halfarc/frames/mosaic.h"
#include "halfarc/frames/plane.h"
#include "halfarc/frames/stream.h"

namespace halfarc {
namespace {

constexpr std::size_t kMostPairs = 60;
constexpr std::size_t kBins = 48;
constexpr double kFewestInBin = 400.0;
constexpr double kWorstGain = 0.25;     // relative error above which nothing is said
constexpr double kRounding = 1.0 / 12;  // ADU^2, of samples rounded to whole ADU
constexpr double kDarkError = 0.04;     // of read noise: where in its bin the darkest part lies
constexpr double kLeastNoise = 0.25;    // ADU^2 before rounding is taken off: below it rounding is no longer noise

struct Bin {
  double mean = 0.0, square = 0.0, fourth = 0.0, count = 0.0;
};
using Bins = std::array<Bin, kBins>;

// Bins grow with the root of brightness, as noise does.
std::size_t bin_of(double mean, double full_scale) {
  const double share = std::sqrt(std::clamp(mean / full_scale, 0.0, 1.0));
  return std::min(kBins - 1, static_cast<std::size_t>(share * kBins));
}

// Squares of one colour: `reach` samples wide.
template <class T>
void add_pair(const RecordingInfo& info, std::span<const T> one, std::span<const T> other, int reach, Bins& bins) {
  const auto width = static_cast<std::size_t>(info.width);
  const double full = info.full_scale();
  for (int y = 0; y + reach < info.height; y += 1) {
    const std::size_t above = static_cast<std::size_t>(y) * width,
                      below = above + static_cast<std::size_t>(reach) * width;
    for (int x = 0; x + reach < info.width; x += 3) {
      const auto left = static_cast<std::size_t>(x), right = left + static_cast<std::size_t>(reach);
      const std::array<std::size_t, 4> at{above + left, above + right, below + left, below + right};
      std::array<double, 4> sum{}, difference{};
      bool clipped = false;
      for (std::size_t i = 0; i < 4; ++i) {
        const auto a = static_cast<double>(one[at[i]]), b = static_cast<double>(other[at[i]]);
        sum[i] = a + b;
        difference[i] = a - b;
        clipped = clipped || !(std::max(a, b) < 0.98 * full);
      }
      if (clipped) continue;
      const double mean = 0.125 * (sum[0] + sum[1] + sum[2] + sum[3]);
      // A slope that stands out of the noise marks a limb: noise itself is judged by the very difference, so only the
      // sum over both frames is looked at.
      const double slope =
          std::max(std::abs(sum[0] + sum[1] - sum[2] - sum[3]), std::abs(sum[0] + sum[2] - sum[1] - sum[3]));
      if (slope > 0.25 * 4.0 * mean + 16.0) continue;
      const double d = difference[0] - difference[1] - difference[2] + difference[3];
      const double square = d * d / 8.0;  // four samples, two frames
      Bin& bin = bins[bin_of(mean, full)];
      bin.mean += mean;
      bin.square += square;
      bin.fourth += square * square;
      bin.count += 1.0;
    }
  }
}

struct Line {
  Eigen::Vector3d value = Eigen::Vector3d::Zero();  // at the darkest bin; per ADU; per ADU squared
  Eigen::Matrix3d covariance = Eigen::Matrix3d::Zero();
};

struct Point {
  double mean, variance, sigma;
};

Line fit_line(const std::vector<Point>& points, int terms) {
  Eigen::MatrixXd square = Eigen::MatrixXd::Zero(terms, terms);
  Eigen::VectorXd pull = Eigen::VectorXd::Zero(terms);
  const auto row_of = [&](const Point& p) {
    Eigen::VectorXd row(terms);
    const double above = p.mean - points.front().mean;
    for (int t = 0; t < terms; ++t) row[t] = std::pow(above, t);
    return row;
  };
  for (const Point& p : points) {
    const Eigen::VectorXd row = row_of(p);
    square += row * row.transpose() / (p.sigma * p.sigma);
    pull += row * p.variance / (p.sigma * p.sigma);
  }
  Line line;
  const Eigen::VectorXd value = square.ldlt().solve(pull);
  double misfit = 0.0;
  for (const Point& p : points) misfit += std::pow((p.variance - row_of(p).dot(value)) / p.sigma, 2);
  const auto spare = static_cast<double>(points.size()) - terms;
  const double grows = spare > 0.0 ? std::max(1.0, misfit / spare) : 1.0;
  line.value.head(terms) = value;
  line.covariance.topLeftCorner(terms, terms) = grows * square.inverse();
  return line;
}

std::vector<Point> points_of(const Bins& bins) {
  std::vector<Point> points;
  for (const Bin& bin : bins) {
    if (bin.count < kFewestInBin) continue;
    const double variance = bin.square / bin.count;
    const double spread = bin.fourth / bin.count - variance * variance;
    // Squares share samples and frames: about three of them tell as much as one by itself.
    const double sigma = std::sqrt(std::max(spread, 1e-9) / bin.count * 3.0);
    points.push_back({bin.mean / bin.count, variance, std::hypot(sigma, 0.003 * variance)});
  }
  return points;
}

Result<PhotonTransfer> transfer_of(const std::vector<Point>& points, const std::string& path, bool rounded) {
  if (points.size() < 4) return bad_input("too little range of brightness to tell the camera's gain", path);
  Line line = fit_line(points, 3);
  if (!(std::abs(line.value[2]) > 2.0 * std::sqrt(line.covariance(2, 2)))) line = fit_line(points, 2);
  const double slope = line.value[1], slope_sigma = std::sqrt(line.covariance(1, 1));
  if (!(slope > 0.0) || slope_sigma > kWorstGain * slope)
    return bad_input("noise grows too little with brightness to tell the camera's gain", path);
  PhotonTransfer t;
  const double gain = 1.0 / slope;
  t.electrons_per_adu = {gain, gain * slope_sigma / slope};
  t.from_adu = points.front().mean;
  t.to_adu = points.back().mean;
  const double dark = line.value[0], dark_sigma = std::sqrt(line.covariance(0, 0));
  t.read_noise_known = !rounded || (dark > kLeastNoise && t.from_adu > 3.0 * std::sqrt(dark));
  if (t.read_noise_known) {
    const double read = std::sqrt(std::max(1e-9, rounded ? dark - kRounding : dark));
    t.read_noise_e = {gain * read,
                      gain * read * std::hypot(0.5 * dark_sigma / (read * read), slope_sigma / slope, kDarkError)};
  }
  return t;
}

}  // namespace

Result<PhotonTransfer> photon_transfer(const Recording& recording) {
  const RecordingInfo& info = recording.info();
  const std::string path = info.path.string();
  if (info.mosaic == Mosaic::rgb)
    return bad_input("the colours are already mixed, so the noise is not the sensor's", path);
  if (info.frames < 2) return bad_input("one frame alone does not tell its noise", path);
  const std::size_t pairs = std::min(kMostPairs, info.frames / 2);
  const int reach = is_bayer(info.mosaic) ? 2 : 1;
  Bins bins{};
  Plane<std::byte> buffer(static_cast<int>(2 * info.bytes_per_frame()), 1);
  for (std::size_t p = 0; p < pairs; ++p) {
    HALFARC_CHECK(recording.read(p * (info.frames - 1) / pairs, 2, buffer.samples()));
    const auto bytes = std::span<const std::byte>(buffer.samples());
    visit_samples(info.sample, bytes, [&]<class T>(std::span<const T> samples) {
      add_pair<T>(info, samples.first(samples.size() / 2), samples.last(samples.size() / 2), reach, bins);
    });
  }
  return transfer_of(points_of(bins), path, info.sample != Sample::f32);
}

}  // namespace halfarc
