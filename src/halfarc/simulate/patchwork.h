// Patchwork: a frame whose air differs across the field.
//
// Turbulence at a height is seen through other parts from other directions, so point spreads change over a few
// arcseconds (anisoplanatism). The scene is cut into overlapping patches by windows that rise and fall smoothly and sum
// to 1 everywhere; each is imaged by a LightTrain of its own, through the air of the direction of its middle, and the
// images are added. So every point of the scene is spread by its own point spread, a mixture of those of the nearest
// patches; there are no seams, no light is lost, and one single patch is the LightTrain itself, bit for bit. Valid:
// patches not much larger than the field over which images move together, D over the height of the air; within the
// overlap of larger ones a point appears twice. Empty patches cost nothing. Cost: about (1.5 p + s)^2 / p^2 times that
// of one air, p the patch's side and s the reach of the point spread. A veil's halo reaches half a patch.
// Accuracy: 0.015 of a white surface against one LightTrain under one air: the outermost light is folded back.
// Source: overlap-add, [Nagy1998].
#pragma once

#include <array>
#include <memory>
#include <vector>

#include "halfarc/simulate/atmosphere.h"
#include "halfarc/simulate/light_train.h"
#include "halfarc/simulate/scene.h"

namespace halfarc {

class Patchwork {
 public:
  // Patches of about the given side; `blur` and `halo` as for a LightTrain. Valid: patch > 0.
  Patchwork(const Instrument& instrument, const Scene& scene, Angle patch, Angle blur, Angle halo = {});

  // Another scene from now on, on a frame of the same size and scale.
  void show(const Scene& scene);

  class Work;
  std::shared_ptr<Work> make_work() const;

  // As LightTrain::expose. The truth is the mean over the patches, each counted by its light.
  AirTruth expose(const Atmosphere& air, const Exposure& exposure, Work& work,
                  std::array<Plane<float>, 3>& image) const;

  // The middles of the patches that hold any light, in pixels of the frame.
  std::vector<PixelPoint> places() const;

  // The share of a patch in the light of a coordinate along one axis of `size` pixels: patch `index` of `count`. The
  // sum over the patches is 1. Valid: 0 <= index < count. Accuracy: exact as stated.
  static double window(double coordinate, int size, int index, int count);

 private:
  struct Axis {
    int size = 0;                // of the frame
    int count = 1;               // patches
    int reach = 0;               // pixels of a patch's own frame
    int first(int index) const;  // pixel of the frame at which patch `index` begins; even
    double middle(int index) const;
  };
  struct Patch {
    int column = 0;
    int row = 0;
    double light = 0.0;  // share of all green light
    LightTrain train;
  };
  static Axis axis(int size, double patch_px, double spread_px);
  Scene cut(const Scene& scene, int column, int row) const;

  Instrument instrument_;
  SceneFrame frame_;
  Angle blur_;
  Angle halo_;
  int spread_px_ = 0;  // of the point spreads; 0 when one patch is all
  Axis x_;
  Axis y_;
  std::vector<Patch> patches_;  // only those that hold light
};

}  // namespace halfarc
