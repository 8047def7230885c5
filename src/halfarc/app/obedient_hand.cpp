#include "halfarc/app/obedient_hand.h"

#include <memory>
#include <utility>

#include "halfarc/app/check_clip.h"
#include "halfarc/app/find_focus.h"
#include "halfarc/app/rig_optics.h"

namespace halfarc {
namespace {

CheckOptions options_of(const ObedientHand& hand, const PlayedClip& clip) {
  CheckOptions options;
  options.optics = clip_optics(hand.rig, hand.train);
  options.scale = options.optics->scale;
  options.scale_source = ScaleSource::rig;
  options.geometry.site = hand.site;
  options.geometry.rig = hand.rig;
  options.geometry.train = hand.train;
  if (clip.record.key_up) options.geometry.key = Key::up;
  options.threads = hand.threads;
  return options;
}

bool is_prism(const Advice& advice) { return advice.control == Control::levers || advice.control == Control::roll; }

// The first advice, and where that is one of the corrector's the other as well: the same hand is at it.
std::vector<Turned> first_of(const std::vector<Advice>& advice) {
  std::vector<Turned> turns;
  for (const Advice& one : advice) {
    const bool first = &one == &advice.front();
    if (first || (is_prism(one) && is_prism(advice.front())))
      turns.insert(turns.end(), one.turns.begin(), one.turns.end());
  }
  return turns;
}

Utc end_of(const PlayedClip& clip) { return clip.shot.timing.start + length_of(clip.shot.timing); }

void note(Tonight& tonight, const std::vector<Reading>& readings, const std::vector<Turned>& turns, Utc done) {
  tonight.history.readings.insert(tonight.history.readings.end(), readings.begin(), readings.end());
  for (const Turned& turned : turns) tonight.history.turns.push_back({done, turned});
}

Result<std::vector<Turned>> after_series(ObedientHand& hand, const PlayedClip& last) {
  Silent silent;
  FocusOptions options;
  options.rig = hand.rig;
  options.train = hand.train;
  options.rig_known = true;
  options.threads = hand.threads;
  HALFARC_TRY(const FoundFocus found, find_focus(hand.series, options, silent));
  const Utc end = end_of(last);
  HALFARC_TRY(const NightAdvice night, focus_advice(hand.rig, hand.train, found, end, hand.tonight));
  std::vector<Turned> turns = first_of(night.advice);
  note(hand.tonight, advice_readings(found, end), turns, end + Duration::s(1.0));
  hand.series.clear();
  return turns;
}

Result<std::vector<Turned>> after_clip(ObedientHand& hand, const PlayedClip& clip) {
  Silent silent;
  HALFARC_TRY(const ClipCheck check, check_clip(clip.recording, options_of(hand, clip), silent));
  const auto& camera = check.geometry.camera;
  if (camera && camera->half_turn_known) hand.tonight.zenith = camera->zenith;
  HALFARC_TRY(const NightAdvice night, clip_advice(hand.rig, hand.train, check, hand.tonight));
  std::vector<Turned> turns = clip.record.practice ? first_of(night.advice) : std::vector<Turned>();
  note(hand.tonight, advice_readings(check, hand.rig, hand.tonight.zenith), turns, end_of(clip) + Duration::s(1.0));
  return turns;
}

}  // namespace

Result<std::vector<Turned>> ObedientHand::after(const PlayedClip& clip) {
  if (clip.record.purpose != Purpose::focus_series) return after_clip(*this, clip);
  series.push_back({clip.recording, clip.knob, clip.by_clockwise ? Approach::clockwise : Approach::counter_clockwise});
  return clip.record.practice ? after_series(*this, clip) : std::vector<Turned>();
}

TurnSource turns_of(ObedientHand hand) {
  const auto shared = std::make_shared<ObedientHand>(std::move(hand));
  return [shared](const PlayedClip& clip) { return shared->after(clip); };
}

}  // namespace halfarc
