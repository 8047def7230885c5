// Humidity: how much water the air holds, and where it would come out.
//
// Relative humidity is taken over water, as hygrometers and weather services state it, also in frost. Two routes to the
// saturation pressure: the international one, which everything physical uses, and the Magnus formula, whose inverse
// gives the dew point in closed form.
#pragma once

#include "halfarc/base/pressure.h"
#include "halfarc/base/result.h"
#include "halfarc/base/temperature.h"
#include "halfarc/base/weather.h"

namespace halfarc {

enum class Over { water, ice };

// The pressure of water vapour in balance with water (IAPWS-IF97 region 4) or ice (611.657 Pa exp(...)).
// Valid: water -40 to 100 degC (below 0: supercooled, the same equation); ice -100 to 0.01 degC.
// Accuracy: 0.03 % (water above 0), 0.3 % (supercooled), 0.1 % (ice). Source: [IAPWS1997], [Wagner1994].
Pressure saturation_pressure(Temperature t, Over over);

// Over water from 0 degC up, over ice below: the balance that lasts.
Pressure saturation_pressure(Temperature t);

// 6.1094 hPa exp(17.625 t / (243.04 + t)); over ice 6.1121 hPa exp(22.587 t / (273.86 + t)).
// Valid: -40 to 50 degC; ice -80 to 0 degC. Accuracy: 0.4 %. Source: [Alduchov1996].
Pressure magnus_pressure(Temperature t, Over over);

// The vapour in the air: relative humidity times the saturation pressure over water.
Pressure vapour_pressure(const Weather& weather);

// The temperature at which the vapour would begin to form dew, or frost: the Magnus formula turned round.
// Valid: vapour above 1 Pa (colder counts as 1 Pa). Accuracy: 0.05 K from -20 to 30 degC. Source: [Alduchov1996].
Temperature dew_point(Pressure vapour);
Temperature frost_point(Pressure vapour);

// Dew at or above freezing, frost below it, which forms sooner.
Temperature deposit_point(Pressure vapour);

// Relative humidity from a dry and a wet thermometer in moving air: e = ew(tw) - 6.53e-4 (1 + 9.44e-4 tw) p (t - tw),
// with ice on the bulb 5.75e-4 and ei(tw).
// Errors: a wet thermometer above the dry one, or so far below it that no vapour is left.
// Valid: -10 to 40 degC, air at 4 m/s past the bulbs. Accuracy: 2 % of full scale for 0.1 K. Source: [WMO2018].
Result<double> humidity_from_wet_bulb(Temperature dry, Temperature wet, Pressure air);

}  // namespace halfarc
