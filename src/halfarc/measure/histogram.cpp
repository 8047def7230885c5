#include "halfarc/measure/histogram.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <type_traits>
#include <vector>

#include "halfarc/frames/mosaic.h"
#include "halfarc/frames/plane.h"
#include "halfarc/frames/stream.h"

namespace halfarc {
namespace {

constexpr std::size_t kFrames = 24;
constexpr double kMany = 30.0;    // samples a step must be expected to hold before its absence means anything
constexpr double kCombed = 0.08;  // share of steps; noise alone makes none
constexpr int kNeighbours = 4;    // steps on each side that tell what to expect

using Counts = std::vector<std::uint32_t>;

template <class T>
void count(const RecordingInfo& info, std::span<const T> samples, std::array<Counts, 3>& counts) {
  if constexpr (std::is_integral_v<T>) {
    const auto width = static_cast<std::size_t>(info.width);
    for (std::size_t i = 0; i < samples.size(); ++i) {
      std::size_t colour = 1;
      if (info.mosaic == Mosaic::rgb) colour = i % 3;
      if (is_bayer(info.mosaic))
        colour =
            static_cast<std::size_t>(colour_at(info.mosaic, static_cast<int>(i % width), static_cast<int>(i / width)));
      const std::size_t step = static_cast<std::size_t>(samples[i]) >> info.zero_bits;
      if (step < counts[colour].size()) ++counts[colour][step];
    }
  }
}

// The step below which a share of the samples lies.
std::size_t quantile(const Counts& counts, double samples, double share) {
  double sum = 0.0;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    sum += counts[i];
    if (sum >= share * samples) return i;
  }
  return counts.size() - 1;
}

// What a step should hold, by the mean of those around it.
double expected(const Counts& counts, std::size_t step) {
  double sum = 0.0;
  for (int k = 1; k <= kNeighbours; ++k)
    sum += counts[step - static_cast<std::size_t>(k)] + counts[step + static_cast<std::size_t>(k)];
  return sum / (2.0 * kNeighbours);
}

ColourHistogram of_counts(const Counts& counts, double unit) {
  ColourHistogram h;
  double samples = 0.0;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    samples += counts[i];
    h.steps += counts[i] > 0 ? 1U : 0U;
    if (counts[i] > 0) h.highest = unit * static_cast<double>(i);
  }
  if (!(samples > 0.0)) return h;
  h.samples = static_cast<std::size_t>(samples);
  h.high = unit * static_cast<double>(quantile(counts, samples, 0.999));
  h.at_top = counts.back() / samples;
  h.at_zero = counts.front() / samples;
  double looked = 0.0;
  const std::size_t last = std::min(quantile(counts, samples, 0.9995), counts.size() - 1 - kNeighbours);
  for (std::size_t i = std::max<std::size_t>(kNeighbours, quantile(counts, samples, 0.001)); i <= last; ++i) {
    const double should = expected(counts, i);
    if (should < kMany) continue;
    looked += 1.0;
    if (counts[i] == 0) h.missing += 1.0;
    const double beside = std::max(counts[i - 1], counts[i + 1]);
    const bool stands_out = counts[i] > 1.5 * beside && counts[i] - beside > 6.0 * std::sqrt(counts[i] + beside);
    if (stands_out && beside > 0.5 * should) h.doubled += 1.0;
  }
  if (looked < 8.0) {
    h.missing = h.doubled = 0.0;
  } else {
    h.missing /= looked;
    h.doubled /= looked;
  }
  return h;
}

}  // namespace

bool Histogram::stretched() const {
  return std::any_of(colours.begin(), colours.end(), [](const ColourHistogram& h) { return h.missing > kCombed; });
}

bool Histogram::squeezed() const {
  return !stretched() &&
         std::any_of(colours.begin(), colours.end(), [](const ColourHistogram& h) { return h.doubled > kCombed; });
}

double Histogram::bits() const {
  std::size_t most = 1;
  for (const ColourHistogram& h : colours) most = std::max(most, h.steps);
  return std::log2(static_cast<double>(most));
}

Result<Histogram> histogram(const Recording& recording) {
  const RecordingInfo& info = recording.info();
  Histogram result;
  if (info.sample == Sample::f32) return result;
  std::array<Counts, 3> counts;
  for (Counts& c : counts) c.resize(std::size_t{1} << std::max(0, info.bits - info.zero_bits));
  Plane<std::byte> buffer(static_cast<int>(info.bytes_per_frame()), 1);
  const std::size_t frames = std::min(kFrames, info.frames);
  for (std::size_t f = 0; f < frames; ++f) {
    HALFARC_CHECK(recording.read(f * info.frames / frames, 1, buffer.samples()));
    visit_samples(info.sample, buffer.samples(),
                  [&]<class T>(std::span<const T> samples) { count<T>(info, samples, counts); });
  }
  for (std::size_t c = 0; c < 3; ++c)
    result.colours[c] = of_counts(counts[c], static_cast<double>(std::size_t{1} << info.zero_bits));
  return result;
}

}  // namespace halfarc
