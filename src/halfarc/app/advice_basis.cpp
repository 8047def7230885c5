#include "halfarc/app/advice_basis.h"

#include <algorithm>

#include "halfarc/app/rig_optics.h"
#include "halfarc/app/target_light.h"
#include "halfarc/optics/focus_depth.h"
#include "halfarc/sky/refraction.h"

namespace halfarc {
namespace {

constexpr Angle kUsualAltitude = Angle::deg(35.0);  // the shape of the dispersion hardly depends on it

int diagonals(const Train& train) {
  return static_cast<int>(std::count_if(train.parts.begin(), train.parts.end(),
                                        [](const Part& part) { return part.kind == PartKind::diagonal; }));
}

// Mirrors between corrector and camera.
bool roll_mirrored(const Train& train) {
  bool behind = false, odd = false;
  for (const Part& part : train.parts) {
    if (part.kind == PartKind::corrector) behind = true;
    if (behind && part.kind == PartKind::diagonal) odd = !odd;
  }
  return odd;
}

std::optional<Corrector> corrector_of(const Rig& rig, const TrainSolution& train) {
  const auto place = corrector_place(train);
  if (!rig.corrector || !place) return std::nullopt;
  const auto planes = colour_planes(rig);
  Corrector corrector;
  corrector.pair = *rig.corrector;
  corrector.place = *place;
  corrector.red = mean_wavelength(planes[0]);
  corrector.blue = mean_wavelength(planes[2]);
  corrector.roll_mirrored = roll_mirrored(rig.train);
  return corrector;
}

double inside_share(const Rig& rig) {
  const auto bands = dispersed_planes(rig, sky::Body::jupiter, sky::usual_weather(Length()), kUsualAltitude, Length());
  const Angle apart = bands[2].centroid - bands[0].centroid;
  return apart > Angle() ? bands[1].rms_width / apart : 0.0;
}

}  // namespace

AdviceBasis advice_basis(const Rig& rig, const TrainSolution& train) {
  const ClipOptics optics = clip_optics(rig, train);
  AdviceBasis basis;
  basis.pupil = optics.pupil;
  basis.wavelength = optics.wavelength;
  basis.screws = screws_of(rig.telescope, train.back_focus, rig.screws, diagonals(rig.train), optics.wavelength);
  basis.corrector = corrector_of(rig, train);
  if (basis.corrector) basis.colour_inside = inside_share(rig);
  basis.knob = rig.telescope.knob;
  basis.knob_sense_known = rig.knob_sense_known;
  basis.waves_per_turn = kEighthWave / focus_depth(rig.telescope, train, optics.wavelength, kEighthWave).knob_turns;
  return basis;
}

}  // namespace halfarc
