// Detector: a planetary camera as its owner knows it, and what its link lets through.
#pragma once

#include "halfarc/base/duration.h"
#include "halfarc/base/length.h"

namespace halfarc {

struct Detector {
  Length pixel = Length::um(3.45);
  int width = 1920;  // pixels
  int height = 1080;
  int bits = 12;                      // of the converter: full scale is 2^bits - 1
  double full_well_e = 10400.0;       // electrons
  double read_noise_e = 1.5;          // electrons rms
  double offset_adu = 16.0;           // black level
  double most_e_per_adu = 2.54;       // at the lowest gain: full well at full scale
  double least_e_per_adu = 0.05;      // at the highest gain
  double bytes_per_s = 360e6;         // that the link and the disc take
  double most_frames_per_s = 1000.0;  // however small the region
};

struct Region {  // of the sensor, pixels
  int width = 640;
  int height = 480;
};

// The largest number of the converter. Valid: 1 to 16 bits. Accuracy: exact. Source: definition.
double full_scale_adu(const Detector& detector);

// Bytes of one frame: one a sample to 8 bits, else two. Valid: any. Accuracy: exact. Source: common practice.
double frame_bytes(const Detector& detector, Region region);

// Frames a second, limited by the exposure, the link and the sensor, whichever is slowest; and what limits.
enum class RateLimit { exposure, link, sensor };
struct FrameRate {
  double per_s = 0.0;
  RateLimit limit = RateLimit::exposure;
};
// Valid: exposure > 0; a sensor read out while the next frame is exposed. Accuracy: exact. Source: common practice.
FrameRate frame_rate(const Detector& detector, Region region, Duration exposure);

// 1e9 bytes that a minute of recording brings. Valid: any. Accuracy: exact. Source: definition.
double gigabytes_per_minute(const Detector& detector, Region region, double frames_per_s);

}  // namespace halfarc
