#include "halfarc/app/rig_optics.h"

namespace halfarc {

ClipOptics clip_optics(const Rig& rig, const TrainSolution& train) {
  return {train.pupil, mean_wavelength(colour_planes(rig)[1]), plate_scale(rig, train)};
}

}  // namespace halfarc
