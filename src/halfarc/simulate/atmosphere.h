// Atmosphere: a few frozen layers of turbulent air over the telescope, each with its own wind and height.
//
// The path of a beam is the sum over the layers; a beam that comes from a direction `field` away from the axis crosses
// a layer at height h displaced by h times that angle, so that beams far apart on the sky see different air
// (anisoplanatism). Strength is stated for the whole column along the line of sight and shared by weight: a layer of
// weight w alone would have r0 w^(-3/5).
// Valid: plane waves, no scintillation. Accuracy: that of simulate/screen.h. Source: [Roddier1981].
#pragma once

#include <span>
#include <string>
#include <vector>

#include "halfarc/air/turbulence.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/random.h"
#include "halfarc/base/speed.h"
#include "halfarc/optics/pupil.h"
#include "halfarc/simulate/screen.h"
#include "halfarc/simulate/spells.h"

namespace halfarc {

struct Layer {
  double weight = 1.0;  // share of the turbulence; only ratios matter
  Speed wind = Speed::m_per_s(8.0);
  Angle direction;  // towards which it blows, in image axes: from +x towards +y
  Length height;    // along the line of sight; only matters away from the axis
  Pulses pulses{};  // when it is not always there; its weight is what it has while it is
};

struct AirSpec {
  Turbulence turbulence{Length::cm(8.0), kSeeingWavelength, Length::m(25.0)};
  std::vector<Layer> layers = {{0.6, Speed::m_per_s(4.0), Angle::deg(20.0), Length::m(100.0)},
                               {0.4, Speed::m_per_s(14.0), Angle::deg(75.0), Length::km(5.0)}};  // none: still air
  Spells spells{};
  Angle patch{};  // the field is cut into patches of this side, each with its own air; 0: one air all over
};

class Atmosphere {
 public:
  // Draws the layers, large enough that a beam of `pupil` does not meet the same air again within `length` where
  // memory allows (4096 x 4096 cells a layer, 64 MiB). The same for the same arguments on any number of threads.
  Atmosphere(const AirSpec& air, const Pupil& pupil, Duration length, Rng rng, Threads threads = {});

  // Adds to `opd_m` (metres, one value a point) the path at the given time after the start.
  void add_path(std::span<const PupilPoint> points, Duration at, const SkyOffset& field, std::span<float> opd_m) const;

  // Fried's length at a moment over the stated one, by good and bad spells.
  double r0_factor(Duration at) const { return spells_.r0_factor(at); }

  // How long the layers last before parts of their fine structure come round again.
  Duration unrepeated() const { return unrepeated_; }

 private:
  struct Flow {
    Layer layer;
    PhaseScreen screen;
    Rng rng;  // of its pulses
  };
  std::vector<Flow> flows_;
  SpellCourse spells_;
  Duration unrepeated_;
};

}  // namespace halfarc
