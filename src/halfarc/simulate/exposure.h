// Simulating a recording: a shot described in full, turned into frames with known truth.
//
// Frames are made in parallel and handed out in order, a few at a time, so memory does not grow with the length of the
// recording. Every random number belongs to the seed and to its purpose (layer, frame, row), never to a thread: the
// same shot and seed give the same bytes whatever the number of threads.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/random.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/simulate/light_train.h"
#include "halfarc/simulate/pointing.h"
#include "halfarc/simulate/sensor.h"

namespace halfarc {

struct Timing {
  Utc start;  // of the first exposure
  std::size_t frames = 500;
  Duration interval = Duration::ms(10.0);  // from frame to frame
  Duration exposure = Duration::ms(8.0);
  int parts = 2;  // moments of the air in one exposure
};

struct Brightness {
  // Mean electrons in one exposure from a pixel of full brightness (a white surface facing Sun and observer); for a
  // star the electrons of all its light.
  std::array<double, 3> electrons{600.0, 800.0, 450.0};  // red, green, blue
  double sky_electrons = 0.2;                            // from every pixel besides
};

struct ShotSpec {
  std::string name = "unnamed";
  std::uint64_t seed = 1;
  BodySpec body;
  int width = 640;
  int height = 480;
  PlateScale scale = PlateScale::arcsec_per_px(0.1753);
  Instrument instrument;
  AirSpec air;
  std::array<SkyOffset, 3> dispersion;  // where each colour falls against an undispersed image
  Pointing pointing;
  Brightness brightness;
  Sensor sensor;
  Timing timing;
};

// What the frame suffered, in pixels of the recording.
struct FrameTruth {
  PixelOffset pointing_px;  // drift and jitter: where the undisturbed image moved
  AirTruth air;
  // Where the centre of the green light moved, all causes together but for dispersion.
  PixelOffset shift_px() const { return pointing_px + air.centroid_px; }
};

struct SimulatedFrame {
  std::size_t index = 0;
  Utc middle;                         // of the exposure
  View<const std::uint16_t> samples;  // width * samples_per_pixel(mosaic) a row
  FrameTruth truth;
};

struct ShotTruth {
  std::array<Plane<float>, 3> perfect;  // as a perfect telescope of the aperture and these pixels shows the scene
  std::array<Plane<float>, 3> scene;    // mean brightness in each pixel
  std::vector<FrameTruth> frames;
  Duration unrepeated;  // how long the air's fine structure lasts before parts of it come round again
};

// Takes each frame in order; an Error ends the simulation.
using FrameSink = std::function<Result<void>(const SimulatedFrame&)>;

// Errors: values no shot can have (named); the sink's; stopped as asked.
Result<ShotTruth> simulate_recording(const ShotSpec& shot, Threads threads, Progress& progress, const FrameSink& sink);

// The first value of the shot that makes no sense, as an Error naming its key in a scene file.
Result<void> check(const ShotSpec& shot);

}  // namespace halfarc
