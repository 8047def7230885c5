// Tube: why a telescope carried outside boils inside, and for how long.
//
// Two lumps of heat: the mirror (a thick piece of glass that holds most of what matters) and the tube with its air,
// castings and corrector. The mirror gives heat to the tube (in an open cell also to the air behind it), the tube to
// the air outside and to the night sky. While the mirror is warmer than the air before it, plumes rise through the
// light. Lumping is sound: glass of 25 mm evens out in two minutes, and takes an hour to cool.
#pragma once

#include <vector>

#include "halfarc/air/ambient.h"
#include "halfarc/base/angle.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/length.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/speed.h"
#include "halfarc/base/temperature.h"

namespace halfarc {

// A way for heat to pass: area times (the larger of still and moving air, and beside it radiation).
struct HeatPath {
  double area_m2 = 0.0;
  double still_w_per_m2k = 0.0;   // at 1 K; grows as the fourth root of the difference
  double moving_w_per_m2k = 0.0;  // a fan or a breeze
  double fixed_w_per_m2k = 0.0;   // radiation
};

// Watts per kelvin at a difference. Valid: as heat_transfer.h. Accuracy: 20 %. Source: [Incropera2007].
double conductance_w_per_k(const HeatPath& path, TemperatureDifference difference);

struct TubeHeat {
  double mirror_j_per_k = 0.0;
  double tube_j_per_k = 0.0;
  HeatPath mirror_to_tube;
  HeatPath mirror_to_air;  // past an open cell; none in a closed tube
  HeatPath tube_to_air;
  double sky_m2 = 0.0;  // as much black surface as would see the whole sky
};

// What an owner can measure with a ruler and kitchen scales. The defaults are a closed 203 mm f/10 tube. A Maksutov has
// a thicker corrector, a Newtonian none and an open cell. Not for refractors.
struct TubeBuild {
  Length aperture = Length::mm(203.0);
  Length mirror_thickness = Length::mm(20.0);  // mean, centre to edge; borosilicate
  Length tube_length = Length::mm(410.0);
  Length wall = Length::mm(1.6);                 // aluminium
  Length corrector_thickness = Length::mm(5.0);  // soda-lime glass
  double castings_kg = 1.5;                      // aluminium cells before and behind (common practice)
  bool open_cell = false;                        // outside air passes the mirror's back and edge
  double sky_view = 0.4;                         // the sky's share of what the tube sees (common practice)
  Length wrap = Length::mm(0.0);                 // foam round the tube and the rear cell
  Speed breeze = Speed::m_per_s(1.0);            // at the tube
  Speed fan = Speed::m_per_s(0.0);               // of air across the mirror
};

// Masses times heat capacities, and surfaces times coefficients, at 15 degC. Borosilicate 2230 kg/m3, 830 J/kgK;
// soda-lime glass 2500, 720; aluminium 2700, 896; foam 0.035 W/mK (common practice); emissivities 0.9 (paint, glass),
// 0.73 between mirror back and cell. Through an open tube blows a tenth of the breeze, past walls that keep a still
// layer of air to themselves (common practice). Valid: tubes of 100 to 400 mm. Accuracy: 25 % in the mirror's time
// constant, 40 % with an open cell; the owner's own readings are better (time_constant.h). Source: [Incropera2007];
// glass makers' data sheets.
TubeHeat tube_heat(const TubeBuild& build = {});

// How long the mirror takes to lose 63 % of a difference to the tube (and the air, in an open cell): C / G.
// Valid: any difference but nil in still air. Accuracy: as tube_heat. Source: [Incropera2007] eq. 5.7.
Duration mirror_time_constant(const TubeHeat& heat, TemperatureDifference difference);

// The same tube with a mirror of the owner's own time constant, as fitted at about this difference.
TubeHeat with_time_constant(TubeHeat heat, Duration time_constant, TemperatureDifference difference);

struct TubeState {
  Temperature mirror;
  Temperature tube_air;
};

struct CoolingStep {
  Duration time;
  TubeState tube;
  Temperature outside;
  TemperatureDifference mirror_over_air() const { return tube.mirror - tube.tube_air; }
};

// Follows both lumps from time `from` for `length`, one step a `step` and the start itself (classical Runge-Kutta).
// Valid: capacities above nil. Accuracy: 1e-4 K of the model; the model as tube_heat.
std::vector<CoolingStep> cool(const TubeHeat& heat, const TubeState& start, const Outside& outside, Duration from,
                              Duration length, Duration step = Duration::minutes(1.0));

// The width that the mirror's own plume adds to an image, long exposure: 0.40" (dT / K)^1.2; nil for a colder mirror,
// over which the air lies still. The error is that of carrying the law from an open 3.6 m mirror into a small tube.
// Valid: 0 to 5 K. Accuracy: 50 %, as returned. Source: [Racine1991] (from memory).
Measured<Angle> mirror_seeing(TemperatureDifference mirror_over_air);

}  // namespace halfarc
