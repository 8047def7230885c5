// The rig's night in words, as the plan's text, page and document say it.
#pragma once

#include <string>
#include <vector>

#include "halfarc/app/rig_night.h"

namespace halfarc {

// "carry the tube out by 17:10: ..." and what is left when it never settles; "dew: ...".
std::string cooling_words(const CoolingClock& clock);
std::string dew_words(const DewClock& clock);

// "8 ms at 0.31 e/ADU, brightest 75 % of full scale, 125 frames/s, 2.3 GB a minute".
std::string exposure_words(const ExposureChoice& exposure);

// Of the three colour planes' histograms.
double highest_peak(const ExposureChoice& exposure);

// "3.4 marks", "10 marks (0.3" is left)"; empty without a corrector.
std::string lever_words(const LeverRow& row);

// "17:30 10, 18:30 8.4, 20:00 3.8": the levers at no more than `most` moments, evenly over those at which they are
// worth touching again (the first, then whenever the fringes have changed by 0.1"); empty without a corrector.
std::string lever_course(const TargetRig& target, std::size_t most);

// Degrees, degC, hPa and so on: what was assumed of the weather, in one line.
std::string air_words(const NightAir& air);

// The block `rig` of the plan's document, as JSON text.
std::string rig_night_json(const RigNight& night);

}  // namespace halfarc
