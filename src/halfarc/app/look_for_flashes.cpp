#include "halfarc/app/look_for_flashes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "halfarc/frames/image_writers.h"
#include "halfarc/measure/index.h"
#include "halfarc/restore/luminance.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr double kUsualRate = 60.0;  // frames a second, when the recording does not say; common practice
constexpr double kFullBorder = 0.5;  // share of the border that is lit when the scene fills the frame
constexpr int kTile = 64;            // pixels of a strip's pictures
constexpr int kEnlarged = 3;
constexpr int kMoments = 6;  // one before, four of the flash, one after
constexpr int kMargin = 24;  // pixels around the scene

struct Layout {
  std::vector<PixelOffset> shifts;
  Window window;
};

// Where each frame lies against the first, and where the scene is.
Result<Layout> lay_out(const Recording& recording, const RecordingIndex& index) {
  const RecordingInfo& info = recording.info();
  const auto first =
      std::find_if(index.frames.begin(), index.frames.end(), [](const FrameIndex& f) { return f.found; });
  if (first == index.frames.end())
    return bad_input("no frame shows a planet or a surface", info.path.string(), "look at it with `halfarc check`");
  double border = 0.0;
  for (const FrameIndex& f : index.frames) border += static_cast<double>(f.lit_border);
  Layout layout;
  layout.shifts.resize(index.frames.size());
  layout.window = {0, 0, info.width & ~1, info.height & ~1};
  if (border > kFullBorder * static_cast<double>(index.found())) return layout;
  PixelOffset shift;
  for (std::size_t k = 0; k < index.frames.size(); ++k) {
    if (index.frames[k].found) shift = index.frames[k].centroid - first->centroid;
    layout.shifts[k] = shift;
  }
  const double reach_x = 2.0 * static_cast<double>(first->width_x);
  const double reach_y = 2.0 * static_cast<double>(first->width_y);
  const PixelPoint c = first->centroid;
  layout.window =
      window_around(c.x - reach_x, c.y - reach_y, c.x + reach_x, c.y + reach_y, kMargin, info.width, info.height);
  return layout;
}

double frames_per_s(const RecordingInfo& info) {
  if (info.times.size() < 2) return kUsualRate;
  const double span = (info.times.back() - info.times.front()).s();
  return span > 0.0 ? static_cast<double>(info.times.size() - 1) / span : kUsualRate;
}

// The mean of the frames [first, last] about the flash, grey.
Result<Plane<float>> moment(const Recording& recording, const Layout& layout, const Flash& flash, std::size_t first,
                            std::size_t last) {
  const RecordingInfo& info = recording.info();
  Plane<std::byte> buffer(static_cast<int>(info.bytes_per_frame()), 1);
  Plane<float> grey(info.width & ~1, info.height & ~1), tile(kTile, kTile);
  for (std::size_t f = first; f <= last; ++f) {
    HALFARC_CHECK(recording.read(f, 1, buffer.samples()));
    luminance(info, buffer.samples(), {0, 0, grey.width(), grey.height()}, grey);
    const PixelPoint at = flash.place + (layout.shifts[f] - layout.shifts[flash.first]);
    for (int y = 0; y < kTile; ++y) {
      for (int x = 0; x < kTile; ++x) {
        const int from_x = std::clamp(static_cast<int>(std::lround(at.x)) + x - kTile / 2, 0, grey.width() - 1);
        const int from_y = std::clamp(static_cast<int>(std::lround(at.y)) + y - kTile / 2, 0, grey.height() - 1);
        tile(x, y) += grey(from_x, from_y) / static_cast<float>(last - first + 1);
      }
    }
  }
  return tile;
}

// Pictures of the same length side by side: before, through the flash, after.
Result<void> write_strip(const Recording& recording, const Layout& layout, const Flash& flash,
                         const std::optional<Utc>& at, const fs::path& path) {
  const std::size_t frames = recording.info().frames;
  const std::size_t length = std::max<std::size_t>(1, (flash.last - flash.first + 1) / 4);
  Plane<float> strip(kMoments * kTile * kEnlarged, kTile * kEnlarged);
  float brightest = 1e-3F;
  for (int m = 0; m < kMoments; ++m) {
    const std::size_t late = flash.first + static_cast<std::size_t>(m) * length;
    const std::size_t begin = std::min(late > length ? late - length : 0, frames - 1);
    HALFARC_TRY(const Plane<float> tile,
                moment(recording, layout, flash, begin, std::min(frames - 1, begin + length - 1)));
    for (int y = 0; y < strip.height(); ++y) {
      for (int x = 0; x < kTile * kEnlarged; ++x) {
        const float value = tile(x / kEnlarged, y / kEnlarged);
        strip(m * kTile * kEnlarged + x, y) = value;
        brightest = std::max(brightest, value);
      }
    }
  }
  PictureForm form;
  form.white = brightest;
  form.taken = at;
  form.description =
      fmt::format("flash in frames {} to {}: before, four moments of it, after", flash.first, flash.last);
  const View<const float> view = strip.view();
  return write_png_image(path, std::span(&view, 1), form);
}

}  // namespace

Result<std::vector<RunFlashes>> look_for_flashes(std::span<const fs::path> runs, const fs::path& output,
                                                 Threads threads, Progress& progress) {
  std::vector<RunFlashes> all;
  std::size_t count = 0;
  for (const fs::path& path : runs) {
    HALFARC_TRY(const auto recording, open_recording(path));
    StreamOptions stream;
    stream.threads = threads;
    HALFARC_TRY(const RecordingIndex index, index_recording(*recording, stream, progress));
    HALFARC_TRY(const Layout layout, lay_out(*recording, index));
    const RecordingInfo& info = recording->info();
    RunFlashes run;
    run.run = path;
    HALFARC_TRY(run.search,
                find_flashes(*recording, layout.shifts, frames_per_s(info), layout.window, threads, progress));
    for (const Flash& flash : run.search.flashes) {
      FoundFlash found;
      found.flash = flash;
      if (!info.times.empty()) {
        const Utc first = info.times[flash.first];
        found.at = first + 0.5 * (info.times[flash.last] - first);
      }
      found.strip = output.parent_path() / fmt::format("{}-flash-{}.png", output.stem().string(), ++count);
      HALFARC_CHECK(write_strip(*recording, layout, flash, found.at, found.strip));
      run.found.push_back(std::move(found));
    }
    all.push_back(std::move(run));
  }
  return all;
}

}  // namespace halfarc
