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
constexpr std::size_t kChunks = 10;  // of pairs, each read by one thread
constexpr std::size_t kBins = 48;
constexpr std::size_t kFine = 10;  // steps of a bin, for the darkest place
constexpr double kFewestInBin = 400.0, kFewestInDark = 400.0;
constexpr double kSteepest = 0.25, kNoSlope = 4.0;  // of the mean and ADU, from half a square to the other
constexpr double kSceneError = 0.02;    // of the gain: what is left of a moving scene, found on simulated clips
constexpr double kTail = 0.1;           // of the next bin's squares
constexpr double kWorstGain = 0.25;     // relative error above which nothing is said
constexpr double kRounding = 1.0 / 12;  // ADU^2, of samples rounded to whole ADU
constexpr double kDarkError = 0.12;     // of read noise: the planet's glow on the darkest place, on simulated clips
constexpr double kLeastNoise = 0.25;    // ADU^2 before rounding is taken off: below it rounding is no longer noise

struct Bin {
  double mean = 0.0, square = 0.0, fourth = 0.0, count = 0.0;
};
using Bins = std::array<Bin, kFine * kBins>;

void add(Bin& bin, const Bin& more) {
  bin.mean += more.mean;
  bin.square += more.square;
  bin.fourth += more.fourth;
  bin.count += more.count;
}

// Bins grow with the root of brightness, as noise does.
std::size_t bin_of(double mean, double full_scale) {
  const double share = std::sqrt(std::clamp(mean / full_scale, 0.0, 1.0));
  return std::min(kFine * kBins - 1, static_cast<std::size_t>(share * kFine * kBins));
}

// The third difference, which leaves little of any scene that optics have blurred.
constexpr int kSide = 4;
constexpr std::array<double, kSide> kDifference{1.0, -3.0, 3.0, -1.0};
constexpr double kPower = 400.0;  // sum of the squares of its products over a square

// One square of 4 x 4 samples of one colour in two frames.
struct Square {
  double mean = 0.0, difference = 0.0, slope = 0.0;
  bool clipped = false;
};

template <class T>
Square square_at(std::span<const T> one, std::span<const T> other, std::size_t corner, std::size_t step,
                 std::size_t row_step, double brightest) {
  Square s;
  double right = 0.0, down = 0.0;
  for (std::size_t j = 0; j < kSide; ++j) {
    for (std::size_t i = 0; i < kSide; ++i) {
      const std::size_t at = corner + j * row_step + i * step;
      const auto a = static_cast<double>(one[at]), b = static_cast<double>(other[at]);
      s.mean += (a + b) / 32.0;
      s.difference += kDifference[i] * kDifference[j] * (a - b);
      right += (i < kSide / 2 ? -1.0 : 1.0) * (a + b) / 16.0;
      down += (j < kSide / 2 ? -1.0 : 1.0) * (a + b) / 16.0;
      s.clipped = s.clipped || !(std::max(a, b) < brightest);
    }
  }
  s.slope = std::max(std::abs(right), std::abs(down));
  return s;
}

// Squares of one colour, their samples `reach` apart.
template <class T>
void add_pair(const RecordingInfo& info, std::span<const T> one, std::span<const T> other, int reach, Bins& bins) {
  const auto width = static_cast<std::size_t>(info.width), step = static_cast<std::size_t>(reach);
  const double full = info.full_scale();
  const int across = (kSide - 1) * reach;
  for (int y = 0; y + across < info.height; ++y) {
    for (int x = 0; x + across < info.width; x += 3) {
      const Square s = square_at(one, other, static_cast<std::size_t>(y) * width + static_cast<std::size_t>(x), step,
                                 step * width, 0.98 * full);
      // A slope that stands out of the noise marks a limb: noise itself is judged by the very difference, so only the
      // sum over both frames is looked at.
      if (s.clipped || s.slope > kSteepest * s.mean + kNoSlope) continue;
      const double square = s.difference * s.difference / (2.0 * kPower);
      Bin& bin = bins[bin_of(s.mean, full)];
      add(bin, {s.mean, square, square * square, 1.0});
    }
  }
}

struct Line {
  Eigen::Vector2d value = Eigen::Vector2d::Zero();  // at the darkest bin; per ADU
  Eigen::Matrix2d covariance = Eigen::Matrix2d::Zero();
};

struct Point {
  double mean, variance, sigma;
};

Line fit_line(const std::vector<Point>& points) {
  Eigen::Matrix2d square = Eigen::Matrix2d::Zero();
  Eigen::Vector2d pull = Eigen::Vector2d::Zero();
  const auto row_of = [&](const Point& p) { return Eigen::Vector2d(1.0, p.mean - points.front().mean); };
  for (const Point& p : points) {
    const Eigen::Vector2d row = row_of(p);
    square += row * row.transpose() / (p.sigma * p.sigma);
    pull += row * p.variance / (p.sigma * p.sigma);
  }
  Line line;
  line.value = square.ldlt().solve(pull);
  double misfit = 0.0;
  for (const Point& p : points) misfit += std::pow((p.variance - row_of(p).dot(line.value)) / p.sigma, 2);
  const auto spare = static_cast<double>(points.size()) - 2.0;
  const double grows = spare > 0.0 ? std::max(1.0, misfit / spare) : 1.0;
  line.covariance = grows * square.inverse();
  return line;
}

// Squares share samples and frames: about three of them tell as much as one by itself.
Point point_of(const Bin& bin) {
  const double variance = bin.square / bin.count;
  const double spread = bin.fourth / bin.count - variance * variance;
  return {bin.mean / bin.count, variance, std::sqrt(std::max(spread, 1e-9) / bin.count * 3.0)};
}

// Of the line. The first bins hold the lower tail of the sky's noise only, and are left out.
std::vector<Point> points_of(const Bins& fine) {
  std::array<Bin, kBins> bins{};
  for (std::size_t i = 0; i < fine.size(); ++i) add(bins[i / kFine], fine[i]);
  std::size_t first = 0;
  while (first + 1 < kBins && bins[first].count < kTail * bins[first + 1].count) ++first;
  std::vector<Point> points;
  for (std::size_t i = first; i < kBins; ++i) {
    if (bins[i].count < kFewestInBin) continue;
    Point point = point_of(bins[i]);
    point.sigma = std::hypot(point.sigma, 0.003 * point.variance);
    points.push_back(point);
  }
  return points;
}

// The darkest place that has squares enough, whatever of the planet's glow lies on the rest of the sky. To choose
// squares by their mean leaves their differences free.
Point darkest_of(const Bins& fine) {
  Bin dark;
  for (std::size_t i = 0; i < fine.size() && dark.count < kFewestInDark; ++i) add(dark, fine[i]);
  return point_of(dark);
}

Result<PhotonTransfer> transfer_of(const Bins& bins, const std::string& path, bool rounded) {
  const std::vector<Point> points = points_of(bins);
  if (points.size() < 4) return bad_input("too little range of brightness to tell the camera's gain", path);
  const Line line = fit_line(points);
  const double slope = line.value[1], slope_sigma = std::sqrt(line.covariance(1, 1));
  if (!(slope > 0.0) || slope_sigma > kWorstGain * slope)
    return bad_input("noise grows too little with brightness to tell the camera's gain", path);
  PhotonTransfer t;
  const double gain = 1.0 / slope;
  t.electrons_per_adu = {gain, gain * std::hypot(slope_sigma / slope, kSceneError)};
  const Point dark = darkest_of(bins);
  t.from_adu = dark.mean;
  t.to_adu = points.back().mean;
  t.read_noise_known = !rounded || (dark.variance > kLeastNoise && t.from_adu > 3.0 * std::sqrt(dark.variance));
  if (t.read_noise_known) {
    const double read = std::sqrt(std::max(1e-9, rounded ? dark.variance - kRounding : dark.variance));
    t.read_noise_e = {gain * read,
                      gain * read * std::hypot(0.5 * dark.sigma / (read * read), slope_sigma / slope, kDarkError)};
  }
  return t;
}

// The bins of some of the pairs, or why they could not be read.
struct Part {
  Bins bins{};
  std::optional<Error> failed;
};

// Of the pairs [begin, end) of `pairs`.
Part read_pairs(const Recording& recording, std::size_t begin, std::size_t end, std::size_t pairs) {
  const RecordingInfo& info = recording.info();
  const int reach = is_bayer(info.mosaic) ? 2 : 1;
  Part part;
  Plane<std::byte> buffer(static_cast<int>(2 * info.bytes_per_frame()), 1);
  for (std::size_t p = begin; p < end; ++p) {
    if (auto read = recording.read(p * (info.frames - 1) / pairs, 2, buffer.samples()); !read) {
      part.failed = read.error();
      break;
    }
    const auto bytes = std::span<const std::byte>(buffer.samples());
    visit_samples(info.sample, bytes, [&]<class T>(std::span<const T> samples) {
      add_pair<T>(info, samples.first(samples.size() / 2), samples.last(samples.size() / 2), reach, part.bins);
    });
  }
  return part;
}

void join(Part& total, const Part& part) {
  if (!total.failed) total.failed = part.failed;
  for (std::size_t i = 0; i < total.bins.size(); ++i) add(total.bins[i], part.bins[i]);
}

}  // namespace

Result<PhotonTransfer> photon_transfer(const Recording& recording, Threads threads) {
  const RecordingInfo& info = recording.info();
  const std::string path = info.path.string();
  if (info.mosaic == Mosaic::rgb)
    return bad_input("the colours are already mixed, so the noise is not the sensor's", path);
  if (info.frames < 2) return bad_input("one frame alone does not tell its noise", path);
  const std::size_t pairs = std::min(kMostPairs, info.frames / 2);
  const auto read = [&](std::size_t begin, std::size_t end) { return read_pairs(recording, begin, end, pairs); };
  const Part all = chunked_reduce<Part>(pairs, kChunks, threads, read, join);
  if (all.failed) return *all.failed;
  return transfer_of(all.bins, path, info.sample != Sample::f32);
}

}  // namespace halfarc
