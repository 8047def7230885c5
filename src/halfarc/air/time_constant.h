// Time constant: how fast the owner's own mirror cools, from temperatures typed in beside the telescope.
//
// A thermometer on the mirror's cell (or back) and one in the air, read a few times in an evening, tell more about a
// telescope than any handbook. Both must agree with each other: a steady offset between them shifts the result.
#pragma once

#include <vector>

#include "halfarc/base/duration.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/result.h"
#include "halfarc/base/temperature.h"

namespace halfarc {

struct TubeReading {
  Duration time;  // from any common zero
  Temperature mirror;
  Temperature air;  // outside or in the tube: the time constant is then towards that
};

// Least squares of dT/dt = -(T - air) / tau, the air going straight from reading to reading; tau and the mirror's first
// temperature are free. The standard error comes from the scatter about the curve or from `reading_error`, whichever is
// larger.
// Errors: fewer than three readings, times that do not increase, a mirror that hardly differed from the air, or a
// course that no time constant from a minute to five times the span describes. Valid: a mirror at least five reading
// errors from the air at some time; readings over at least half a time constant. Accuracy: as returned (scatter of 400
// simulated evenings within 15 % of it). Source: [Incropera2007] eq. 5.6; [BatesWatts1988] for the fit and its error.
Result<Measured<Duration>> fit_time_constant(const std::vector<TubeReading>& readings,
                                             TemperatureDifference reading_error = TemperatureDifference::kelvin(0.1));

}  // namespace halfarc
