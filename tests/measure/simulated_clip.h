// A clip out of the simulator, in memory: what the accuracy tests measure, with its truth known.
#pragma once

#include <cstddef>
#include <utility>
#include <vector>

#include "halfarc/base/progress.h"
#include "halfarc/simulate/exposure.h"
#include "../support/memory_recording.h"

namespace halfarc::testing {

inline MemoryRecording simulated_clip(const ShotSpec& shot) {
  RecordingInfo info;
  info.path = shot.name;
  info.container = "memory";
  info.width = shot.width;
  info.height = shot.height;
  info.mosaic = shot.sensor.mosaic;
  info.sample = Sample::u16;
  info.bits = shot.sensor.bits;
  std::vector<std::byte> bytes;
  Silent progress;
  const auto truth = simulate_recording(shot, {}, progress, [&](const SimulatedFrame& frame) -> Result<void> {
    for (int y = 0; y < frame.samples.height(); ++y) {
      const auto* row = reinterpret_cast<const std::byte*>(frame.samples.row(y));
      bytes.insert(bytes.end(), row, row + static_cast<std::size_t>(frame.samples.width()) * sizeof(std::uint16_t));
    }
    return {};
  });
  (void)truth.value();
  for (std::size_t i = 0; i < shot.timing.frames; ++i)
    info.times.push_back(shot.timing.start + shot.timing.interval * static_cast<double>(i));
  info.frames = shot.timing.frames;
  return {std::move(info), std::move(bytes)};
}

}  // namespace halfarc::testing
