#include "halfarc/measure/index.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "halfarc/measure/index_frame.h"

namespace halfarc {

double FrameIndex::diameter() const { return 2.0 * std::sqrt(static_cast<double>(area) / std::numbers::pi); }

std::size_t RecordingIndex::found() const {
  return static_cast<std::size_t>(std::count_if(frames.begin(), frames.end(), [](const auto& f) { return f.found; }));
}

Result<RecordingIndex> index_recording(const Recording& recording, const StreamOptions& options, Progress& progress) {
  const RecordingInfo& info = recording.info();
  RecordingIndex index;
  index.frames.resize(info.frames);
  const std::size_t bytes = info.bytes_per_frame();
  HALFARC_CHECK(for_each_block(recording, options, progress, "index", [&](const FrameBlock& block) -> Result<void> {
    FrameIndexer indexer(info);
    for (std::size_t i = 0; i < block.count; ++i) {
      index.frames[block.first + i] = indexer(block.bytes.subspan(i * bytes, bytes));
    }
    return {};
  }));
  grade_sharpness(index.frames);
  return index;
}

FrameIndex index_frame(const RecordingInfo& info, std::span<const std::byte> frame) {
  return FrameIndexer(info)(frame);
}

void grade_sharpness(std::vector<FrameIndex>& frames) {
  double noise = 0.0, flux = 0.0;
  std::vector<float> areas;
  for (const FrameIndex& f : frames) {
    if (!f.found) continue;
    noise += static_cast<double>(f.noise_power);
    flux += f.flux;
    areas.push_back(f.area);
  }
  if (areas.empty() || !(flux > 0.0)) return;
  const auto middle = areas.begin() + static_cast<std::ptrdiff_t>(areas.size() / 2);
  std::nth_element(areas.begin(), middle, areas.end());
  const double quads = static_cast<double>(*middle) / 4.0;
  for (FrameIndex& f : frames) {
    if (!f.found || !(f.flux > 0.0)) continue;
    const double signal = static_cast<double>(f.band_power) - noise / flux * f.flux;
    // Mean square over the disc's quads, over the square of the mean quad: (signal / quads) / (flux / quads)^2.
    const double relative = signal * quads / (f.flux * f.flux);
    f.sharpness = static_cast<float>(std::copysign(std::sqrt(std::abs(relative)), relative));
  }
}

std::vector<std::size_t> sharpest(const RecordingIndex& index, std::size_t count) {
  std::vector<std::size_t> numbers;
  for (std::size_t i = 0; i < index.frames.size(); ++i) {
    if (index.frames[i].found) numbers.push_back(i);
  }
  std::stable_sort(numbers.begin(), numbers.end(),
                   [&](std::size_t a, std::size_t b) { return index.frames[a].sharpness > index.frames[b].sharpness; });
  numbers.resize(std::min(count, numbers.size()));
  std::sort(numbers.begin(), numbers.end());
  return numbers;
}

}  // namespace halfarc
