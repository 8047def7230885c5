#include "halfarc/measure/aligned_mean.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>
#include <vector>

#include "halfarc/frames/mosaic.h"
#include "halfarc/frames/stream.h"

namespace halfarc {
namespace {

SamplePlane empty_plane(int size) {
  return {Plane<float>(size, size), Plane<float>(size, size), Plane<float>(size, size), Plane<float>(size, size)};
}

struct Placement {
  int dx = 0, dy = 0;                      // cell = sample - (dx, dy)
  float beside_x = 0.0F, beside_y = 0.0F;  // of every sample of the frame
};

// The sums of a cell of one colour, side by side in memory.
struct Cell {
  float value = 0.0F, weight = 0.0F, beside_x = 0.0F, beside_y = 0.0F;
};
using Cells = std::array<std::vector<Cell>, 3>;

template <class T>
void add_frame(const RecordingInfo& info, std::span<const T> samples, const Placement& at, T ceiling, int size,
               Cells& cells) {
  const int per_pixel = samples_per_pixel(info.mosaic);
  const int left = std::max(0, at.dx), right = std::min(info.width, at.dx + size);
  for (int y = std::max(0, at.dy); y < std::min(info.height, at.dy + size); ++y) {
    // The colours of the row's samples: those of one pixel, or of two neighbours of a mosaic.
    std::array<Cell*, 3> row{};
    for (std::size_t c = 0; c < 3; ++c)
      if (!cells[c].empty()) row[c] = cells[c].data() + static_cast<std::ptrdiff_t>(y - at.dy) * size;
    std::array<Cell*, 3> of_samples{row[1], row[1], row[1]};
    if (per_pixel == 3) of_samples = row;
    if (is_bayer(info.mosaic))
      for (int x = 0; x < 2; ++x)
        of_samples[static_cast<std::size_t>(x)] = row[static_cast<std::size_t>(colour_at(info.mosaic, x, y))];
    const T* sample = samples.data() + (static_cast<std::ptrdiff_t>(y) * info.width + left) * per_pixel;
    for (int x = left; x < right; ++x) {
      for (int s = 0; s < per_pixel; ++s, ++sample) {
        if (!(*sample < ceiling)) continue;  // full scale, or not a number
        Cell& cell = of_samples[static_cast<std::size_t>(per_pixel == 3 ? s : x % 2)][x - at.dx];
        cell.value += static_cast<float>(*sample);
        cell.weight += 1.0F;
        cell.beside_x += at.beside_x;
        cell.beside_y += at.beside_y;
      }
    }
  }
}

SamplePlane mean_of(const std::vector<Cell>& cells, int size) {
  SamplePlane plane = empty_plane(size);
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const Cell& cell = cells[i];
    if (!(cell.weight > 0.0F)) continue;
    plane.value.samples()[i] = cell.value / cell.weight;
    plane.weight.samples()[i] = cell.weight;
    plane.beside_x.samples()[i] = cell.beside_x / cell.weight;
    plane.beside_y.samples()[i] = cell.beside_y / cell.weight;
  }
  return plane;
}

}  // namespace

Result<AlignedMean> aligned_mean(const Recording& recording, const RecordingIndex& index,
                                 std::span<const std::size_t> frames, int size) {
  const RecordingInfo& info = recording.info();
  AlignedMean mean;
  mean.centroid = {centre_of(size), centre_of(size)};
  Cells cells;
  for (std::size_t c = 0; c < 3; ++c) {
    if (c == 1 || info.mosaic != Mosaic::mono)
      cells[c].resize(static_cast<std::size_t>(size) * static_cast<std::size_t>(size));
  }
  const double ceiling = 0.998 * info.full_scale();
  Plane<std::byte> buffer(static_cast<int>(info.bytes_per_frame()), 1);
  for (const std::size_t number : frames) {
    const FrameIndex& frame = index.frames[number];
    if (!frame.found) continue;
    HALFARC_CHECK(recording.read(number, 1, buffer.samples()));
    const PixelOffset shift = frame.centroid - mean.centroid;  // a sample at p belongs to p - shift
    Placement at;
    at.dx = static_cast<int>(std::lround(shift.x));
    at.dy = static_cast<int>(std::lround(shift.y));
    at.beside_x = static_cast<float>(at.dx - shift.x);
    at.beside_y = static_cast<float>(at.dy - shift.y);
    visit_samples(info.sample, buffer.samples(), [&]<class T>(std::span<const T> samples) {
      add_frame<T>(info, samples, at, static_cast<T>(std::ceil(ceiling)), size, cells);
    });
    ++mean.frames;
  }
  if (mean.frames == 0) return bad_input("no frame shows an object", info.path.string());
  for (std::size_t c = 0; c < 3; ++c) {
    if (!cells[c].empty()) mean.colours[c] = mean_of(cells[c], size);
  }
  return mean;
}

Picture picture_of(const SamplePlane& plane, double background) {
  constexpr int kReach = 2;  // a colour's sites lie two pixels apart
  const int size = plane.value.width();
  Picture picture{Plane<float>(size, size), {}};
  std::vector<double> fade;
  for (int i = 0; i < size; ++i) {
    const double from_edge = std::min(i, size - 1 - i) / (0.125 * size);
    fade.push_back(from_edge >= 1.0 ? 1.0 : 0.5 - 0.5 * std::cos(std::numbers::pi * from_edge));
  }
  std::array<std::array<double, kReach + 1>, kReach + 1> near{};  // what a site counts, by its distance
  for (int j = 0; j <= kReach; ++j)
    for (int i = 0; i <= kReach; ++i)
      near[static_cast<std::size_t>(j)][static_cast<std::size_t>(i)] = 1.0 / (1.0 + std::hypot(i, j));
  double light = 0.0;
  for (int y = 0; y < size; ++y) {
    for (int x = 0; x < size; ++x) {
      double value = 0.0, weight = 0.0;
      for (int r = 0; r <= kReach && weight == 0.0; ++r) {
        for (int v = std::max(0, y - r); v <= std::min(size - 1, y + r); ++v) {
          for (int u = std::max(0, x - r); u <= std::min(size - 1, x + r); ++u) {
            const auto i = static_cast<std::size_t>(std::abs(u - x)), j = static_cast<std::size_t>(std::abs(v - y));
            const double w = static_cast<double>(plane.weight(u, v)) * near[j][i];
            value += w * static_cast<double>(plane.value(u, v));
            weight += w;
          }
        }
      }
      if (!(weight > 0.0)) continue;
      const double above = value / weight - background;
      picture.samples(x, y) =
          static_cast<float>(above * fade[static_cast<std::size_t>(x)] * fade[static_cast<std::size_t>(y)]);
      if (plane.weight(x, y) > 0.0F && above > 0.0) {
        light += above;
        picture.beside.x += above * static_cast<double>(plane.beside_x(x, y));
        picture.beside.y += above * static_cast<double>(plane.beside_y(x, y));
      }
    }
  }
  if (light > 0.0) picture.beside = picture.beside * (1.0 / light);
  return picture;
}

int size_for(const RecordingIndex& index, int most) {
  std::vector<double> extents;
  for (const FrameIndex& f : index.frames) {
    if (f.found)
      extents.push_back(
          std::max({f.diameter(), 4.0 * static_cast<double>(f.width_x), 4.0 * static_cast<double>(f.width_y)}));
  }
  if (extents.empty()) return 0;
  const auto high = extents.begin() + static_cast<std::ptrdiff_t>(extents.size() * 9 / 10);
  std::nth_element(extents.begin(), high, extents.end());
  return std::min(most, 2 * static_cast<int>(std::ceil(0.85 * *high + 14.0)));
}

}  // namespace halfarc
