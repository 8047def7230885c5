#include "halfarc/restore/luminance.h"

#include <algorithm>
#include <vector>

#include "halfarc/frames/stream.h"

namespace halfarc {
namespace {

// The samples of row y (clamped into the frame) from column window.x - 1 to window.x + window.width, as floats.
template <class T>
void padded_row(std::span<const T> samples, const RecordingInfo& info, const Window& window, int y, float* out) {
  y = std::clamp(y, 0, info.height - 1);
  const std::size_t width = static_cast<std::size_t>(info.width);
  const T* row =
      samples.data() + static_cast<std::size_t>(y) * width * static_cast<std::size_t>(samples_per_pixel(info.mosaic));
  for (int i = 0; i < window.width + 2; ++i) {
    const int x = std::clamp(window.x - 1 + i, 0, info.width - 1);
    if (info.mosaic == Mosaic::rgb) {
      const T* pixel = row + 3 * x;
      out[i] = 0.25F * static_cast<float>(pixel[0]) + 0.5F * static_cast<float>(pixel[1]) +
               0.25F * static_cast<float>(pixel[2]);
    } else {
      out[i] = static_cast<float>(row[x]);
    }
  }
}

}  // namespace

void luminance(const RecordingInfo& info, std::span<const std::byte> frame, const Window& window, Plane<float>& out) {
  visit_samples(info.sample, frame, [&](auto samples) {
    const std::size_t padded = static_cast<std::size_t>(window.width) + 2;
    std::vector<float> rows(3 * padded);
    float* line[3] = {rows.data(), rows.data() + padded, rows.data() + 2 * padded};
    padded_row(samples, info, window, window.y - 1, line[0]);
    padded_row(samples, info, window, window.y, line[1]);
    for (int y = 0; y < window.height; ++y) {
      padded_row(samples, info, window, window.y + y + 1, line[2]);
      const float* a = line[0];
      const float* b = line[1];
      const float* c = line[2];
      float* to = out.row(y);
      for (int x = 0; x < window.width; ++x) {
        const float left = a[x] + 2.0F * b[x] + c[x];
        const float centre = a[x + 1] + 2.0F * b[x + 1] + c[x + 1];
        const float right = a[x + 2] + 2.0F * b[x + 2] + c[x + 2];
        to[x] = (left + 2.0F * centre + right) * (1.0F / 16.0F);
      }
      std::rotate(line, line + 1, line + 3);
    }
  });
}

}  // namespace halfarc
