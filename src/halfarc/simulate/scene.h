// Scene: what there is to see, before air, telescope and camera.
//
// A scene is drawn on a grid finer than the camera's pixels (`oversample` cells a pixel each way), as three planes of
// brightness on a scale where a white surface facing Sun and observer is 1; stars are kept as points, whose light is
// stated in pixels' worth of that brightness.
#pragma once

#include <array>
#include <vector>

#include "halfarc/base/parallel.h"
#include "halfarc/base/pixel.h"
#include "halfarc/frames/plane.h"
#include "halfarc/simulate/body.h"

namespace halfarc {

struct SceneFrame {
  int width = 0;  // pixels
  int height = 0;
  PlateScale scale;
};

struct PointSource {
  PixelPoint place;
  std::array<float, 3> light{1.0F, 1.0F, 1.0F};
};

struct Scene {
  SceneFrame frame;
  int oversample = 1;
  std::array<Plane<float>, 3> cells;  // frame.width * oversample by frame.height * oversample
  std::vector<PointSource> points;
};

// The body in the middle of the frame (plus its own offset), with its moons. The same for any number of threads.
Scene draw_scene(const BodySpec& body, const SceneFrame& frame, int oversample, Threads threads = {});

// The mean brightness in each pixel, points shared among their four neighbours so that their centre is kept.
std::array<Plane<float>, 3> pixel_means(const Scene& scene);

// How far from the body's centre its picture reaches: the globe's radius or the ring's.
Angle reach(const BodySpec& body);

}  // namespace halfarc
