#include "halfarc/measure/kind.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "halfarc/frames/mosaic.h"

namespace halfarc {
namespace {

constexpr double kFoundShare = 0.2;
constexpr double kSurfaceBorder = 0.25;
constexpr double kBrightShare = 0.03;
constexpr double kSmallestDisc = 12.0;  // pixels: a saturated point is a star
constexpr double kHollow = 0.7;

constexpr std::pair<ClipKind, std::string_view> kNames[] = {{ClipKind::planet, "planet"},
                                                            {ClipKind::star, "star"},
                                                            {ClipKind::surface, "surface"},
                                                            {ClipKind::bright, "bright"},
                                                            {ClipKind::empty, "empty"}};

double quantile(std::vector<double> values, double q) {
  if (values.empty()) return 0.0;
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(q * static_cast<double>(values.size() - 1) + 0.5);
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

template <class Get>
double median_of(const RecordingIndex& index, bool only_found, Get get) {
  std::vector<double> values;
  for (const FrameIndex& f : index.frames) {
    if (f.found || !only_found) values.push_back(static_cast<double>(get(f)));
  }
  return quantile(std::move(values), 0.5);
}

// How many samples of a colour one pixel of the object has.
double samples_per_area(Mosaic mosaic, std::size_t colour) {
  if (mosaic == Mosaic::mono) return colour == 1 ? 1.0 : 0.0;
  if (mosaic == Mosaic::rgb) return 1.0;
  return colour == 1 ? 0.5 : 0.25;
}

}  // namespace

std::string_view name(ClipKind kind) {
  for (const auto& [k, n] : kNames) {
    if (k == kind) return n;
  }
  return "empty";
}

std::optional<ClipKind> clip_kind_named(std::string_view name) {
  for (const auto& [k, n] : kNames) {
    if (n == name) return k;
  }
  return std::nullopt;
}

ClipSummary summarise(const RecordingInfo& info, const RecordingIndex& index) {
  ClipSummary s;
  if (index.frames.empty()) return s;
  const std::size_t found = index.found();
  s.found_share = static_cast<double>(found) / static_cast<double>(index.frames.size());
  const bool some = found > 0;
  s.background = median_of(index, some, [](const FrameIndex& f) { return f.background; });
  s.noise = median_of(index, some, [](const FrameIndex& f) { return f.noise; });
  if (!some) return s;
  s.lit_border = median_of(index, true, [](const FrameIndex& f) { return f.lit_border; });
  s.diameter = median_of(index, true, [](const FrameIndex& f) { return f.diameter(); });
  s.level = median_of(index, true, [](const FrameIndex& f) { return f.level; });
  s.peak = median_of(index, true, [](const FrameIndex& f) { return f.peak; });
  std::vector<double> sharpness;
  for (const FrameIndex& f : index.frames) {
    if (!f.found) continue;
    sharpness.push_back(static_cast<double>(f.sharpness));
    for (std::size_t c = 0; c < 3; ++c) {
      const double samples = static_cast<double>(f.area) * samples_per_area(info.mosaic, c);
      if (samples > 0.0) s.saturated[c] += std::min(1.0, f.saturated[c] / samples) / static_cast<double>(found);
    }
  }
  s.sharpness = quantile(sharpness, 0.5);
  s.best_sharpness = quantile(sharpness, 0.975);
  s.spread = (quantile(sharpness, 0.75) - quantile(sharpness, 0.25)) / 1.349;  // of a normal distribution
  return s;
}

bool is_hollow(const AlignedMean& mean, const ClipSummary& summary) {
  const SamplePlane& plane = mean.green();
  const int size = plane.value.width();
  std::vector<double> sums(static_cast<std::size_t>(size)), counts(sums.size());
  for (int y = 0; y < size; ++y) {
    for (int x = 0; x < size; ++x) {
      if (!(plane.weight(x, y) > 0.0F)) continue;
      const auto ring = static_cast<std::size_t>(std::hypot(x - mean.centroid.x, y - mean.centroid.y) / 1.5);
      if (ring >= sums.size()) continue;
      sums[ring] += static_cast<double>(plane.value(x, y)) - summary.background;
      counts[ring] += 1.0;
    }
  }
  double middle = 0.0, highest = 0.0;
  for (std::size_t r = 0; r < sums.size(); ++r) {
    if (counts[r] < 4.0) continue;
    const double level = sums[r] / counts[r];
    if (middle == 0.0) middle = level;
    highest = std::max(highest, level);
  }
  return highest > 3.0 * summary.noise / std::sqrt(static_cast<double>(mean.frames)) && middle < kHollow * highest;
}

ClipKind kind_from_index(const ClipSummary& s) {
  if (s.found_share < kFoundShare) return ClipKind::empty;
  if (s.lit_border > kSurfaceBorder) return ClipKind::surface;
  const double saturated = *std::max_element(s.saturated.begin(), s.saturated.end());
  if (saturated > kBrightShare && s.diameter > kSmallestDisc) return ClipKind::bright;
  return ClipKind::planet;
}

}  // namespace halfarc
