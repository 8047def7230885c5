#include "halfarc/frames/picture_samples.h"

#include <algorithm>
#include <cmath>

namespace halfarc {

Result<void> check_planes(std::span<const View<const float>> planes, const std::filesystem::path& path) {
  const auto mistake = [&](const char* what) { return failed(what, path.string(), "this is a mistake in halfarc"); };
  if (planes.empty()) return mistake("has no planes to write");
  for (const auto& plane : planes) {
    if (plane.empty()) return mistake("has an empty plane to write");
    const bool same = plane.width() == planes.front().width() && plane.height() == planes.front().height();
    if (!same) return mistake("has planes of different sizes to write");
  }
  return {};
}

Result<void> check_picture(std::span<const View<const float>> planes, const PictureForm& form,
                           const std::filesystem::path& path) {
  HALFARC_CHECK(check_planes(planes, path));
  const auto mistake = [&](const char* what) { return failed(what, path.string(), "this is a mistake in halfarc"); };
  if (planes.size() != 1 && planes.size() != 3) return mistake("is neither grey nor of three colours");
  if (!std::isfinite(form.black) || !std::isfinite(form.white) || !(form.white > form.black)) {
    return mistake("has a white level that is not above its black level");
  }
  return {};
}

std::uint16_t to_word(float value, float black, float white) {
  const double scaled = (static_cast<double>(value) - black) / (static_cast<double>(white) - black) * 65535.0;
  if (!(scaled > 0.0)) return 0;
  return scaled < 65535.0 ? static_cast<std::uint16_t>(std::lround(scaled)) : std::uint16_t{65535};
}

float screen_curve(float linear) {
  return linear <= 0.0031308F ? 12.92F * linear : 1.055F * std::pow(linear, 1.0F / 2.4F) - 0.055F;
}

void fill_row(std::span<const View<const float>> planes, const PictureForm& form, int y, std::span<std::uint16_t> row) {
  for (std::size_t p = 0; p < planes.size(); ++p) {
    const float* const samples = planes[p].row(y);
    for (std::size_t x = 0; x * planes.size() < row.size(); ++x) {
      const float value = samples[x];
      if (form.tone == Tone::linear) {
        row[x * planes.size() + p] = to_word(value, form.black, form.white);
      } else {
        const float light = std::clamp((value - form.black) / (form.white - form.black), 0.0F, 1.0F);
        row[x * planes.size() + p] = to_word(screen_curve(light), 0.0F, 1.0F);
      }
    }
  }
}

}  // namespace halfarc
