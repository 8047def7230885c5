// Weather: the air at the telescope, as a barometer, a thermometer and a hygrometer beside it show it.
#pragma once

#include "halfarc/base/pressure.h"
#include "halfarc/base/temperature.h"

namespace halfarc {

struct Weather {
  Pressure pressure;  // at the telescope, not reduced to sea level
  Temperature temperature;
  double relative_humidity = 0.0;  // 0 to 1, over water, also in frost
};

}  // namespace halfarc
