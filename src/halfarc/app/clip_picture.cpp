#include "halfarc/app/clip_picture.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "halfarc/app/screen_view.h"
#include "halfarc/frames/stream.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/index.h"
#include "halfarc/measure/kind.h"

namespace halfarc {
namespace {

constexpr std::size_t kMostLooked = 300;
constexpr std::size_t kMostBytes = std::size_t{256} << 20;  // of the frames looked at
constexpr double kBrightest = 0.92;                         // of white: where the brightest of the scene is put

// Every so many-th frame, so that what is looked at is neither too many frames nor too many bytes.
std::vector<std::size_t> spread(const RecordingInfo& info) {
  const std::size_t affordable =
      std::max<std::size_t>(1, kMostBytes / std::max<std::size_t>(1, info.bytes_per_frame()));
  const std::size_t count = std::min({info.frames, kMostLooked, affordable});
  std::vector<std::size_t> numbers;
  for (std::size_t i = 0; i < count; ++i) numbers.push_back(i * info.frames / count);
  return numbers;
}

Result<RecordingIndex> index_of(const Recording& recording, const std::vector<std::size_t>& numbers, Threads threads,
                                Progress& progress) {
  const RecordingInfo& info = recording.info();
  RecordingIndex index;
  index.frames.resize(info.frames);
  HALFARC_CHECK(for_each_listed(
      recording, numbers, {.threads = threads}, progress, "looking", [&](const FrameBlock& block) -> Result<void> {
        for (std::size_t i = 0; i < block.count; ++i) {
          const auto frame = block.bytes.subspan(i * info.bytes_per_frame(), info.bytes_per_frame());
          index.frames[block.first + i] = index_frame(info, frame);
        }
        return {};
      }));
  grade_sharpness(index.frames);
  return index;
}

// One frame as it is: a mosaic's squares of four become one pixel of three colours.
Result<std::vector<Plane<float>>> one_frame(const Recording& recording, std::size_t number) {
  const RecordingInfo& info = recording.info();
  Plane<std::uint64_t> room(static_cast<int>(info.bytes_per_frame() / 8 + 1), 1);  // aligned for any sample
  const auto bytes = std::as_writable_bytes(room.samples()).first(info.bytes_per_frame());
  HALFARC_CHECK(recording.read(number, 1, bytes));
  const bool bayer = is_bayer(info.mosaic), colour = bayer || info.mosaic == Mosaic::rgb;
  const int step = bayer ? 2 : 1;
  std::vector<Plane<float>> planes;
  for (int c = 0; c < (colour ? 3 : 1); ++c) planes.emplace_back(info.width / step, info.height / step);
  visit_samples(info.sample, bytes, [&](auto samples) {
    const int wide = planes.front().width(), high = planes.front().height(), each = samples_per_pixel(info.mosaic);
    for (int y = 0; y < high * step; ++y) {
      for (int x = 0; x < wide * step; ++x) {
        for (int s = 0; s < each; ++s) {
          const auto at =
              (static_cast<std::size_t>(y) * static_cast<std::size_t>(info.width) + static_cast<std::size_t>(x)) *
                  static_cast<std::size_t>(each) +
              static_cast<std::size_t>(s);
          const auto plane =
              bayer ? static_cast<std::size_t>(colour_at(info.mosaic, x, y)) : static_cast<std::size_t>(s);
          const float share = bayer && plane == 1 ? 0.5F : 1.0F;  // two greens
          planes[plane](x / step, y / step) += share * static_cast<float>(samples[at]);
        }
      }
    }
  });
  return planes;
}

Result<std::vector<Plane<float>>> mean_of(const Recording& recording, const RecordingIndex& index) {
  const auto best = sharpest(index, std::max<std::size_t>(1, index.found() / 2));
  HALFARC_TRY(const AlignedMean mean, aligned_mean(recording, index, best, size_for(index)));
  const double background = summarise(recording.info(), index).background;
  std::vector<Plane<float>> planes;
  for (const SamplePlane& colour : mean.colours) {
    if (!colour.value.empty()) planes.push_back(picture_of(colour, background).samples);
  }
  return planes;
}

}  // namespace

Result<std::string> clip_picture(const std::filesystem::path& clip, int width, Threads threads, Progress& progress) {
  HALFARC_TRY(const auto recording, open_recording(clip));
  const auto numbers = spread(recording->info());
  HALFARC_TRY(const RecordingIndex index, index_of(*recording, numbers, threads, progress));
  const std::size_t found = index.found();
  const bool follows = found > 0 && 2 * found >= numbers.size() &&
                       kind_from_index(summarise(recording->info(), index)) != ClipKind::surface;
  HALFARC_TRY(const auto planes,
              follows ? mean_of(*recording, index) : one_frame(*recording, numbers[numbers.size() / 2]));
  ScreenView view;
  view.zoom = std::min(1.0, static_cast<double>(width) / planes.front().width());
  view.black = follows ? 0.0F : level_below(planes, 0.01);
  view.white = view.black + static_cast<float>((level_below(planes, 0.9995) - view.black) / kBrightest);
  return screen_view(planes, view);
}

}  // namespace halfarc
