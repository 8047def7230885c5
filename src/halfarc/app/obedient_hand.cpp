#include "halfarc/app/obedient_hand.h"

#include <algorithm>
#include <memory>
#include <utility>

#include "halfarc/app/check_clip.h"
#include "halfarc/app/clip_advice.h"

namespace halfarc {

TurnSource obedient_hand(Rig rig, TrainSolution train, Threads threads) {
  CheckOptions options;
  options.scale = plate_scale(rig, train);
  options.scale_source = ScaleSource::rig;
  options.optics = ClipOptics{train.pupil, mean_wavelength(colour_planes(rig)[1]), *options.scale};
  options.threads = threads;
  const auto tonight = std::make_shared<Tonight>();
  return [=](const PlayedClip& clip) -> Result<std::vector<Turned>> {
    Silent silent;
    HALFARC_TRY(const ClipCheck check, check_clip(clip.recording, options, silent));
    HALFARC_TRY(const NightAdvice night, clip_advice(rig, train, check, *tonight));
    const auto readings = advice_readings(check, rig, std::nullopt);
    tonight->history.readings.insert(tonight->history.readings.end(), readings.begin(), readings.end());
    std::vector<Turned> turns;
    if (!night.advice.empty()) turns = night.advice.front().turns;
    const Utc done = clip.shot.timing.start + length_of(clip.shot.timing) + Duration::s(1.0);
    for (const Turned& turned : turns) tonight->history.turns.push_back({done, turned});
    return turns;
  };
}

}  // namespace halfarc
