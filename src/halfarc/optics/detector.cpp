#include "halfarc/optics/detector.h"

#include <algorithm>
#include <cmath>

namespace halfarc {

double full_scale_adu(const Detector& detector) { return std::exp2(detector.bits) - 1.0; }

double frame_bytes(const Detector& detector, Region region) {
  return static_cast<double>(region.width) * static_cast<double>(region.height) * (detector.bits > 8 ? 2.0 : 1.0);
}

FrameRate frame_rate(const Detector& detector, Region region, Duration exposure) {
  const double link = detector.bytes_per_s / frame_bytes(detector, region);
  const FrameRate by_camera = link < detector.most_frames_per_s
                                  ? FrameRate{link, RateLimit::link}
                                  : FrameRate{detector.most_frames_per_s, RateLimit::sensor};
  const double by_exposure = 1.0 / exposure.s();
  return by_exposure <= by_camera.per_s ? FrameRate{by_exposure, RateLimit::exposure} : by_camera;
}

double gigabytes_per_minute(const Detector& detector, Region region, double frames_per_s) {
  return frames_per_s * frame_bytes(detector, region) * 60.0 * 1e-9;
}

}  // namespace halfarc
