// Simulating a recording: a shot described in full, turned into frames with known truth.
//
// Frames are made in parallel and handed out in order, a few at a time, so memory does not grow with the length of the
// recording. Every random number belongs to the seed and to its purpose (layer, frame, row), never to a thread: the
// same shot and seed give the same bytes whatever the number of threads.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/simulate/light_train.h"
#include "halfarc/simulate/shot.h"

namespace halfarc {

// What the frame suffered, in pixels of the recording.
struct FrameTruth {
  Duration middle;               // of the exposure, after the start, by a perfect clock
  PixelOffset pointing_px;       // the mount: where the undisturbed image moved, in the mean of the exposure
  AirTruth air;                  // (the tilt of the plume is told by the centroid only)
  double r0_factor = 1.0;        // Fried's length then, over the stated one
  OpticsError optics;            // defocus and coma in all, the instrument's own included, plume apart
  double plume_rms_waves = 0.0;  // of green, without its tilt
  Veil veil;
  Angle field_turn;  // clockwise, since the start

  // Where the centre of the green light moved, all causes together but for dispersion and the turn of the field.
  PixelOffset shift_px() const { return pointing_px + air.centroid_px; }
};

struct SimulatedFrame {
  std::size_t index = 0;
  Utc middle;                         // of the exposure, as the camera's computer wrote it
  View<const std::uint16_t> samples;  // width * samples_per_pixel(mosaic) a row
  FrameTruth truth;
};

struct ShotTruth {
  // Scene and perfect image are those of the middle of the recording, should they change.
  std::array<Plane<float>, 3> perfect;  // as a perfect telescope of the aperture and these pixels shows the scene
  std::array<Plane<float>, 3> scene;    // mean brightness in each pixel
  std::vector<FrameTruth> frames;
  Duration unrepeated;  // how long the air's fine structure lasts before parts of it come round again
};

// Takes each frame in order; an Error ends the simulation.
using FrameSink = std::function<Result<void>(const SimulatedFrame&)>;

// Errors: values no shot can have (named); the sink's; stopped as asked.
Result<ShotTruth> simulate_recording(const ShotSpec& shot, Threads threads, Progress& progress, const FrameSink& sink);

}  // namespace halfarc
