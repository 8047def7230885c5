#include "halfarc/app/rig_optics.h"

#include "halfarc/air/dispersion.h"
#include "halfarc/sky/site.h"

namespace halfarc {
namespace {

// The same at any height and weather, to the form of the curve of refraction against wavelength.
double smear_share(const std::array<SpectralCurve, 3>& planes) {
  const auto band = [&](std::size_t c) { return disperse(planes[c], sky::usual_weather(Length()), Angle::deg(45.0)); };
  const DispersedBand red = band(0), green = band(1), blue = band(2);
  const Angle apart = blue.centroid - red.centroid;
  return apart > Angle() ? green.rms_width / apart : 0.0;
}

}  // namespace

ClipOptics clip_optics(const Rig& rig, const TrainSolution& train) {
  const std::array<SpectralCurve, 3> planes = colour_planes(rig);
  return {train.pupil, mean_wavelength(planes[1]), plate_scale(rig, train), smear_share(planes)};
}

}  // namespace halfarc
