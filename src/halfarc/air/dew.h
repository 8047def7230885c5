// Dew: how far the front glass is from fogging over, and when it will.
//
// A glass plate that faces a clear night sky gives it more heat than it gets back, and so stands colder than the air.
// When it reaches the dew point (frost point, below freezing) it fogs, long before anything else outside is wet. A
// shield hides most of the sky; wind warms the plate; a heater holds it by force.
#pragma once

#include <optional>

#include "halfarc/air/ambient.h"
#include "halfarc/base/angle.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/length.h"
#include "halfarc/base/speed.h"
#include "halfarc/base/temperature.h"
#include "halfarc/base/weather.h"

namespace halfarc {

// The front glass as it stands. A mirror deep in an open tube is one with a long shield.
struct FrontGlass {
  Length aperture = Length::mm(203.0);
  Length shield = Length::mm(0.0);  // how far it stands out before the glass; black, at the temperature of the air
  Angle altitude = Angle::deg(40.0);
  Speed breeze = Speed::m_per_s(0.5);
  double heater_w = 0.0;  // what reaches the glass, about half of a strap's power (common practice)
};

// The share of the sky in all that the plate sees: without a shield (1 + sin altitude) / 2; the mouth of a shield, seen
// from the plate as one disc from another, times the part of the mouth's view that is sky.
// Valid: any. Accuracy: exact without a shield, 5 % of the whole with one. Source: [Incropera2007] table 13.2, coaxial
// parallel discs.
double sky_view(const FrontGlass& glass);

// How far the plate stands below the air (above: negative): the balance of convection on its outer face, the tube's
// convection and radiation on its inner face (tube at the temperature of the air), radiation and the heater. Emissivity
// of glass 0.9.
// Valid: settled tube, plates up to 10 mm, -15 to 30 degC. Accuracy: 30 %: half of it the sky, half the wind.
// Source: [Incropera2007]; sky from [Prata1996].
TemperatureDifference undercooling(const FrontGlass& glass, Temperature air, Pressure vapour, double cloud = 0.0);

struct DewMargin {
  Temperature glass;
  Temperature deposit;                 // dew or frost point
  TemperatureDifference margin;        // glass above deposit: nil or less is fog
  TemperatureDifference margin_sigma;  // from undercooling (30 %) and humidity (3 % of full scale)
};
DewMargin dew_margin(const FrontGlass& glass, const Weather& weather, double cloud = 0.0);

// When the margin is used up, the vapour staying as it is while the air follows its course; nothing if not in the span.
// Valid: a calm night without a change of air mass. Accuracy: the margin's sigma over the fall of temperature.
std::optional<Duration> time_until_dew(const FrontGlass& glass, const Outside& outside, Duration from, Duration span);

}  // namespace halfarc
