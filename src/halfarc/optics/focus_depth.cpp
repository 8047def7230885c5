#include "halfarc/optics/focus_depth.h"

#include "halfarc/optics/pupil.h"

namespace halfarc {

FocusDepth focus_depth(const Telescope& telescope, const TrainSolution& train, Length wavelength, double edge_waves) {
  const double m = secondary_magnification(telescope, train.back_focus);
  FocusDepth depth;
  depth.sensor = focus_shift(edge_waves, wavelength, train.focal_ratio);
  depth.telescope_focus = depth.sensor / (train.amplification * train.amplification);
  depth.travel = depth.telescope_focus / (m * m);
  depth.knob_turns = depth.travel / telescope.knob.travel_per_turn;
  depth.tube =
      TemperatureDifference::kelvin(depth.telescope_focus / abs(focus_shift_per_kelvin(telescope, train.back_focus)));
  return depth;
}

}  // namespace halfarc
