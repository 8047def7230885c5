// Rig: the owner's equipment as rig.toml describes it, in the terms of optics/ and air/.
//
// What the file leaves out is that of the default rig: a 203 mm f/10 Schmidt-Cassegrain with a 2.0x telecentric
// amplifier, a two-prism corrector with marks 0 to 10, an ultraviolet and infrared cut filter and a 3.45 um colour
// camera. The file's own text is the one place where these defaults stand (rig_file.h).
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "halfarc/air/dew.h"
#include "halfarc/air/tube.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/result.h"
#include "halfarc/base/spectral_curve.h"
#include "halfarc/frames/mosaic.h"
#include "halfarc/optics/balance.h"
#include "halfarc/optics/detector.h"
#include "halfarc/optics/prism_pair.h"
#include "halfarc/optics/telescope.h"
#include "halfarc/optics/tilt_coma.h"
#include "halfarc/optics/train.h"

namespace halfarc {

// The colours that a filter of the train lets through.
struct FilterColours {
  std::string part;  // its name
  SpectralCurve passes;
};

struct Rig {
  std::string name;
  Telescope telescope;
  bool knob_sense_known = false;  // else no advice says clockwise or counter-clockwise
  ScrewCircle screws;             // of collimation
  Train train;                    // the camera is its last part
  TrainMount mount;               // how the tube carries it
  Detector camera;
  Mosaic mosaic = Mosaic::rggb;
  std::vector<FilterColours> filters;  // those whose colours are known
  std::optional<PrismPair> corrector;  // the prisms of the part of that kind
  TubeBuild tube;
  std::optional<Duration> time_constant;  // of the mirror, when the owner knows it
  Length shield;                          // against dew
  double heater_w = 0.0;
  Temperature indoors = Temperature::celsius(18.0);  // where the telescope is kept
};

// The default rig.
Rig example_rig();

// The train solved behind the telescope. Errors: as optics/train.h.
Result<TrainSolution> solve(const Rig& rig);

// Where a scale comes from: the owner's word, the owner's rig.toml, the rig of the examples, a disc and its ephemeris,
// a drift with the mount stopped, moons, or what all of these told before; as documents name it.
enum class ScaleSource { given, rig, default_rig, ephemeris, drift, moons, logbook };
std::string_view name_of(ScaleSource source);

// Arcseconds a pixel at the sensor.
PlateScale plate_scale(const Rig& rig, const TrainSolution& solution);

// Where in the light the corrector stands; nothing when the train has none.
std::optional<CorrectorPlace> corrector_place(const TrainSolution& solution);

// Electrons a photon in each colour plane, through telescope and filters; a camera without a mosaic has three equal
// ones.
std::array<SpectralCurve, 3> colour_planes(const Rig& rig);

// The tube's heat, with the owner's time constant where it is known.
TubeHeat tube_heat(const Rig& rig);

}  // namespace halfarc
