#include "halfarc/app/find_focus.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <memory>

#include "halfarc/app/rig_optics.h"
#include "halfarc/frames/stream.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/index.h"
#include "halfarc/optics/focus_depth.h"

namespace halfarc {
namespace {

constexpr double kFarthestTurns = 100.0;

Error no_position(std::string_view words) {
  return {ErrorKind::usage,
          "\"" + std::string(words) + "\" names no position of the knob",
          {},
          "write each clip as CLIP@TURNS, for example mars.ser@-0.25"};
}

Approach take_approach(std::string_view& words) {
  for (const auto& [suffix, approach] : {std::pair{std::string_view("ccw"), Approach::counter_clockwise},
                                         {std::string_view("cw"), Approach::clockwise}}) {
    if (!words.ends_with(suffix)) continue;
    words.remove_suffix(suffix.size());
    while (words.ends_with(' ')) words.remove_suffix(1);
    return approach;
  }
  return Approach::unsaid;
}

struct Opened {
  std::unique_ptr<Recording> recording;
  RecordingIndex index;
};

}  // namespace

Result<FocusAsk> parse_focus_ask(std::string_view words) {
  const std::size_t at = words.rfind('@');
  if (at == std::string_view::npos || at == 0) return no_position(words);
  FocusAsk ask;
  ask.clip = std::string(words.substr(0, at));
  std::string_view number = words.substr(at + 1);
  ask.approach = take_approach(number);
  if (number.starts_with('+')) number.remove_prefix(1);
  const auto [end, trouble] = std::from_chars(number.data(), number.data() + number.size(), ask.position);
  if (trouble != std::errc() || end != number.data() + number.size() || !(std::abs(ask.position) <= kFarthestTurns))
    return no_position(words);
  return ask;
}

Measured<double> FoundFocus::to_turn() const {
  const FocusAsk& last = asks.back();
  const bool late = series.backlash && last.approach == Approach::clockwise;
  return {series.best.value + (late ? series.backlash->value : 0.0) - last.position, series.best.sigma};
}

bool FoundFocus::leave_alone() const {
  const Measured<double> turn = to_turn();
  return std::abs(turn.value) < std::max(turn.sigma, tolerance);
}

double FoundFocus::arrived() const {
  const Approach last = asks.back().approach;
  return last == Approach::clockwise ? 1.0 : last == Approach::counter_clockwise ? -1.0 : 0.0;
}

Result<FoundFocus> find_focus(std::vector<FocusAsk> asks, const FocusOptions& options, Progress& progress) {
  ClipOptics optics = clip_optics(options.rig, options.train);
  if (options.scale) optics.scale = *options.scale;

  std::vector<Opened> opened;
  int size = 0;
  for (const FocusAsk& ask : asks) {
    HALFARC_TRY(auto recording, open_recording(ask.clip));
    HALFARC_TRY(RecordingIndex index, index_recording(*recording, {.threads = options.threads}, progress));
    size = std::max(size, size_for(index));
    opened.push_back({std::move(recording), std::move(index)});
  }
  std::vector<FocusClip> clips;
  for (std::size_t i = 0; i < asks.size(); ++i) {
    HALFARC_TRY(const FocusSpectrum spectrum, focus_spectrum(*opened[i].recording, opened[i].index, optics, size));
    clips.push_back({asks[i].position, asks[i].approach, spectrum});
  }

  FoundFocus found;
  FocusKnowledge knowledge;
  knowledge.obstruction = optics.pupil.obstruction;
  found.rig_known = options.rig_known;
  if (options.rig_known) {
    const FocusDepth depth = focus_depth(options.rig.telescope, options.train, optics.wavelength, kEighthWave);
    found.tolerance = depth.knob_turns;
    knowledge.waves_per_turn = kEighthWave / depth.knob_turns;
    found.knob = options.rig.telescope.knob;
    found.knob_sense_known = options.rig.knob_sense_known;
  }
  HALFARC_TRY(found.series, fit_focus(clips, knowledge));
  if (!options.rig_known) found.tolerance = kEighthWave / found.series.waves_per_turn.value;
  found.asks = std::move(asks);
  return found;
}

}  // namespace halfarc
