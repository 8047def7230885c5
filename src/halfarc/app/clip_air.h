// Clip air: what a clip tells of the air, for `check`: seeing, coherence time, and what a shorter exposure would save.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "halfarc/measure/seeing.h"
#include "halfarc/measure/star_ring.h"

namespace halfarc {

struct ClipAir {
  Seeing seeing;                  // along the line of sight
  std::optional<Seeing> zenith;   // where the airmass is known
  std::optional<double> airmass;  // of the line of sight
  // What image motion blurs a frame by, rms along one axis, for an exposure of a whole and of half an interval.
  std::optional<Angle> smear, smear_of_half;
};

// From exposures of a disc, or of a star near focus. Absent where the clip does not say, with the reason in `why_not`.
// Errors: those of reading.
Result<std::optional<ClipAir>> read_air(const Recording& recording, const RecordingIndex& index,
                                        std::span<const double> times, Subject subject,
                                        const std::optional<Motion>& motion, const ClipOptics& optics, Threads threads,
                                        std::string& why_not);

// From the fit of a star out of focus.
ClipAir air_of(const StarRing& ring, Length wavelength);

// Fills in what the airmass tells. Valid: airmass >= 1.
void look_overhead(ClipAir& air, double airmass);

std::vector<std::string> air_lines(const ClipAir& air);

}  // namespace halfarc
