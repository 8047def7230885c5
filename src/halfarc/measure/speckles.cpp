#include "halfarc/measure/speckles.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "halfarc/frames/mosaic.h"
#include "halfarc/frames/stream.h"

namespace halfarc {
namespace {

constexpr std::size_t kMostFrames = 60;
constexpr std::size_t kFewestFrames = 4;
constexpr float kBright = 0.2F;           // of the mean's highest
constexpr std::size_t kFewestPairs = 12;  // of neighbours, a frame

// The mean's green above the background where it is bright, and nil elsewhere.
Plane<float> bright_part(const SamplePlane& plane, double background) {
  const int width = plane.value.width(), height = plane.value.height();
  Plane<float> bright(width, height);
  float highest = 0.0F;
  for (std::size_t i = 0; i < bright.count(); ++i) {
    if (!(plane.weight.samples()[i] > 0.0F)) continue;
    bright.samples()[i] = plane.value.samples()[i] - static_cast<float>(background);
    highest = std::max(highest, bright.samples()[i]);
  }
  for (float& v : bright.samples())
    if (!(v > kBright * highest)) v = 0.0F;
  return bright;
}

// One green sample of a frame where the mean is bright.
struct Lit {
  float frame = 0.0F, mean = 0.0F;  // above background; 0: none here
};

// The frame's samples in the cells of the mean.
template <class T>
Plane<Lit> lit_of(const RecordingInfo& info, std::span<const T> samples, PixelOffset shift, const Plane<float>& bright,
                  double background) {
  const int dx = static_cast<int>(std::lround(shift.x)), dy = static_cast<int>(std::lround(shift.y));
  const int per_pixel = samples_per_pixel(info.mosaic);
  Plane<Lit> lit(bright.width(), bright.height());
  for (int y = std::max(0, dy); y < std::min(info.height, dy + bright.height()); ++y) {
    for (int x = std::max(0, dx); x < std::min(info.width, dx + bright.width()); ++x) {
      const float mean = bright(x - dx, y - dy);
      if (!(mean > 0.0F) || (is_bayer(info.mosaic) && colour_at(info.mosaic, x, y) != Colour::green)) continue;
      const auto pixel =
          static_cast<std::size_t>(y) * static_cast<std::size_t>(info.width) + static_cast<std::size_t>(x);
      const T sample = samples[pixel * static_cast<std::size_t>(per_pixel) + (per_pixel == 3 ? 1 : 0)];
      lit(x - dx, y - dy) = {static_cast<float>(static_cast<double>(sample) - background), mean};
    }
  }
  return lit;
}

// contrast^2 of one frame.
std::optional<double> square_of(const Plane<Lit>& lit) {
  double light = 0.0, expected = 0.0;
  for (const Lit& l : lit.samples()) {
    if (!(l.mean > 0.0F)) continue;
    light += static_cast<double>(l.frame);
    expected += static_cast<double>(l.mean);
  }
  if (!(light > 0.0 && expected > 0.0)) return std::nullopt;
  const double as_bright = expected / light;
  double products = 0.0, means = 0.0;
  std::size_t pairs = 0;
  for (int y = 0; y + 1 < lit.height(); ++y) {
    for (int x = 0; x + 1 < lit.width(); ++x) {
      const Lit &here = lit(x, y), &there = lit(x + 1, y + 1);
      if (!(here.mean > 0.0F && there.mean > 0.0F)) continue;
      const auto off = [&](const Lit& l) {
        return as_bright * static_cast<double>(l.frame) - static_cast<double>(l.mean);
      };
      products += off(here) * off(there);
      means += static_cast<double>(here.mean) * static_cast<double>(there.mean);
      ++pairs;
    }
  }
  if (pairs < kFewestPairs) return std::nullopt;
  return products / means;
}

}  // namespace

Result<std::optional<Measured<double>>> speckle_contrast(const Recording& recording, const RecordingIndex& index,
                                                         const AlignedMean& mean, double background) {
  const RecordingInfo& info = recording.info();
  const Plane<float> bright = bright_part(mean.green(), background);
  Plane<std::byte> buffer(static_cast<int>(info.bytes_per_frame()), 1);
  std::vector<double> squares;
  const std::size_t count = std::min(kMostFrames, index.frames.size());
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t number = (2 * i + 1) * index.frames.size() / (2 * count);
    if (!index.frames[number].found) continue;
    HALFARC_CHECK(recording.read(number, 1, buffer.samples()));
    const PixelOffset shift = index.frames[number].centroid - mean.centroid;
    const auto square = visit_samples(info.sample, buffer.samples(), [&]<class T>(std::span<const T> samples) {
      return square_of(lit_of<T>(info, samples, shift, bright, background));
    });
    if (square) squares.push_back(*square);
  }
  if (squares.size() < kFewestFrames) return std::optional<Measured<double>>();
  const auto n = static_cast<double>(squares.size());
  double middle = 0.0, scatter = 0.0;
  for (const double s : squares) middle += s / n;
  for (const double s : squares) scatter += (s - middle) * (s - middle) / (n - 1.0);
  const double error = std::sqrt(scatter / n);
  const double contrast = std::sqrt(std::max(0.0, middle));
  return std::optional(Measured<double>{contrast, error / (2.0 * std::max(contrast, std::sqrt(0.5 * error)))});
}

}  // namespace halfarc
