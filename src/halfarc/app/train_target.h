// TrainTarget: what a train makes of one target at one moment: how far the air draws its colours apart and what the
// corrector does about it, how to expose, and how long a recording may run before detail smears.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/air/dispersion.h"
#include "halfarc/app/reason.h"
#include "halfarc/app/rig.h"
#include "halfarc/app/where_body.h"
#include "halfarc/base/result.h"
#include "halfarc/base/speed.h"
#include "halfarc/optics/exposure_choice.h"
#include "halfarc/optics/prism_colour.h"
#include "halfarc/optics/train.h"
#include "halfarc/sky/field.h"

namespace halfarc {

struct TrainTarget {
  WhereRequest where;
  Length r0_at_zenith = Length::cm(8.0);  // at 500 nm: seeing of 1.3"
  Speed wind = Speed::m_per_s(8.0);       // aloft, weighted with the turbulence
  std::optional<Region> region;           // within the sensor; one that holds the disc when not given
  double peak = 0.75;                     // wished, of full scale
  Angle allowed_smear = Angle::arcsec(0.25);
};

// The corrector at one place of the train, with its levers where red and blue come together.
struct CorrectorThere {
  LeverSetting setting;
  Angle lever;                   // of each prism, from where the two cancel
  Angle residual;                // blue above red, along the pull of the prisms
  Angle residual_across;         // and square to it
  Angle inside_green;            // rms width of the green plane, along
  PixelOffset target_shift;      // on the sensor, from both levers at 0
  std::optional<double> strehl;  // of the prisms alone; nothing when a face throws the light back
  std::string place;             // "before the amplifier", "behind the amplifier", or empty
};

struct TrainAtTarget {
  Whereabouts where;
  std::array<DispersedBand, 3> air;         // what the air does to red, green and blue
  std::optional<CorrectorThere> corrector;  // where it stands
  std::optional<CorrectorThere> other;      // on the other side of the amplifier, when there are both
  std::optional<ExposureChoice> exposure;   // nothing when nobody knows how bright the surface is
  Region region;
  sky::Smear smear;
  Duration longest_run;
};

// Appends its reasons and cautions. Errors: as where_body; a target below the horizon (bad input).
// Valid: 10 deg of altitude and more; at the roll that works against the air. Accuracy, Source: as app/target_light.h,
// optics/prism_pair.h, optics/prism_colour.h, optics/prism_trace.h, optics/exposure_choice.h, sky/field.h.
Result<TrainAtTarget> train_at_target(const Rig& rig, const TrainSolution& train, const TrainTarget& target,
                                      std::vector<Reason>& why, std::vector<std::string>& cautions);

}  // namespace halfarc
