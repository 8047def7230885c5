#include "halfarc/restore/local_reader.h"

#include <algorithm>
#include <cmath>

#include "halfarc/restore/luminance.h"

namespace halfarc {
namespace {

constexpr std::size_t kMostProbes = 500;
constexpr double kMostPatches = 400.0;
constexpr int kLeastSpacing = 20;  // pixels

// Wide enough that a part holds detail, and no more probes than a frame has time for.
int spacing_for(const Window& window) {
  const double even = std::sqrt(static_cast<double>(window.width) * window.height / kMostPatches);
  return std::max(kLeastSpacing, static_cast<int>(std::ceil(even)));
}

double along(const Probe& probe, PixelOffset shift) {
  return probe.direction.x * shift.x + probe.direction.y * shift.y;
}

}  // namespace

LocalReader::LocalReader(View<const float> reference, const RecordingInfo& info, const Window& window)
    : info_(info), window_(window), spacing_(spacing_for(window)) {
  info_.times.clear();  // of no use here, and long
  probes_ = place_probes(reference, spacing_, kMostProbes);
}

LocalReader::Look LocalReader::look(std::span<const std::byte> frame, PixelOffset shift) const {
  const int x = static_cast<int>(std::lround(shift.x)), y = static_cast<int>(std::lround(shift.y));
  Look look{Plane<float>(window_.width, window_.height),
            shift - PixelOffset{static_cast<double>(x), static_cast<double>(y)}};
  luminance(info_, frame, {window_.x + x, window_.y + y, window_.width, window_.height}, look.grey);
  return look;
}

Readings LocalReader::first_look(const Look& look) const {
  const float scale = 1.0F / response(probes_, look.grey);
  Readings readings;
  for (const Probe& probe : probes_) {
    readings.push_back(scale * reading(probe, look.grey) - static_cast<float>(along(probe, look.rest)));
  }
  return readings;
}

Readings LocalReader::second_look(const Look& look, const ShiftField& expected) const {
  std::vector<TemplateStep> steps;
  for (const Probe& probe : probes_) {
    const PixelOffset there = shift_at(expected, probe.place) + look.rest;
    steps.push_back({static_cast<int>(std::lround(there.x)), static_cast<int>(std::lround(there.y))});
  }
  const float scale = 1.0F / response(probes_, look.grey, steps);
  Readings readings;
  for (std::size_t k = 0; k < probes_.size(); ++k) {
    const PixelOffset stepped{static_cast<double>(steps[k].x), static_cast<double>(steps[k].y)};
    readings.push_back(scale * reading(probes_[k], look.grey, steps[k]) +
                       static_cast<float>(along(probes_[k], stepped - look.rest)));
  }
  return readings;
}

Result<void> LocalReader::learn(std::size_t count, const Frames& frames, const ForEach& for_each) {
  air_ = {};
  std::vector<Readings> readings(count);
  HALFARC_CHECK(for_each(count, [&](std::size_t i) -> Result<void> {
    HALFARC_TRY(const Look look, frames(i));
    readings[i] = first_look(look);
    return {};
  }));
  air_ = LocalAir(probes_, readings, window_.width, window_.height, spacing_);
  if (air_.same_all_over()) return {};
  HALFARC_CHECK(for_each(count, [&](std::size_t i) -> Result<void> {
    HALFARC_TRY(const Look look, frames(i));
    readings[i] = second_look(look, air_.field(readings[i]));
    return {};
  }));
  air_ = LocalAir(probes_, readings, window_.width, window_.height, spacing_);
  return {};
}

Readings LocalReader::read(std::span<const std::byte> frame, PixelOffset shift) const {
  if (air_.same_all_over()) return {};
  const Look seen = look(frame, shift);
  return second_look(seen, air_.field(first_look(seen)));
}

ShiftField LocalReader::field(const Readings& readings) const {
  return readings.empty() ? ShiftField() : air_.field(readings);
}

}  // namespace halfarc
