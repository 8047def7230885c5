// Shot: a recording to be simulated, described in full.
//
// Everything the simulator needs to know, in plain values; the defaults are our scenario. simulate/shot_file.h reads
// and writes it, simulate/exposure.h turns it into frames.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>

#include "halfarc/base/duration.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/simulate/atmosphere.h"
#include "halfarc/simulate/blemishes.h"
#include "halfarc/simulate/body.h"
#include "halfarc/simulate/dew.h"
#include "halfarc/simulate/frame_clock.h"
#include "halfarc/simulate/instrument.h"
#include "halfarc/simulate/optics_change.h"
#include "halfarc/simulate/plume.h"
#include "halfarc/simulate/pointing.h"
#include "halfarc/simulate/sensor.h"

namespace halfarc {

struct Timing {
  Utc start;  // of the first exposure
  std::size_t frames = 500;
  Duration interval = Duration::ms(10.0);  // from frame to frame
  Duration exposure = Duration::ms(8.0);
  int parts = 2;  // moments of the air in one exposure
  FrameClock clock{};
};

struct Brightness {
  // Mean electrons in one exposure from a pixel of full brightness (a white surface facing Sun and observer); for a
  // star the electrons of all its light.
  std::array<double, 3> electrons{600.0, 800.0, 450.0};  // red, green, blue
  double sky_electrons = 0.2;                            // from every pixel besides
};

struct ShotSpec {
  std::string name = "unnamed";
  std::string object;  // what the recording says it shows; the name when it is nil
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
  OpticsChange optics_change{};
  PlumeSpec plume{};
  DewSpec dew{};
  BlemishSpec blemishes{};
};

// The first value of the shot that makes no sense, as an Error naming its key in a scene file.
Result<void> check(const ShotSpec& shot);

// How long the recording lasts, from the first exposure to the end of the last, when no frame is dropped.
// Valid: any shot that passes the check. Accuracy: exact.
Duration length_of(const Timing& timing);

}  // namespace halfarc
