#include "halfarc/app/focus_document.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

#include "halfarc/advise/knob.h"

namespace halfarc {
namespace {

using nlohmann::json;

struct AtPosition {
  std::size_t clips = 0;
  double weight = 0.0, sum = 0.0;

  Measured<double> measure() const { return {sum / weight, 1.0 / std::sqrt(weight)}; }
};

// Clips of one position together, weighted by their errors.
std::map<double, AtPosition> by_position(const FoundFocus& found) {
  std::map<double, AtPosition> positions;
  for (std::size_t i = 0; i < found.asks.size(); ++i) {
    const Measured<double>& contrast = found.series.points[i].contrast;
    if (!(contrast.sigma > 0.0)) continue;
    AtPosition& at = positions[found.asks[i].position];
    const double weight = 1.0 / (contrast.sigma * contrast.sigma);
    ++at.clips;
    at.weight += weight;
    at.sum += weight * contrast.value;
  }
  return positions;
}

int decimals_of(double sigma) {
  return sigma > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(sigma))), 1, 4) : 2;
}

std::string with_error(const Measured<double>& m) {
  const int decimals = decimals_of(m.sigma);
  return fmt::format("{:.{}f} ± {:.{}f}", m.value, decimals, m.sigma, decimals);
}

std::string way(bool clockwise) { return clockwise ? "clockwise" : "counter-clockwise"; }

// What the hand does: the last motion pushes a mirror up against its weight, so that its slack lies on one side; where
// that way is not known, the knob arrives as in the last clip.
std::string turn_words(const FoundFocus& found) {
  const Measured<double> turn = found.to_turn();
  const double slack = found.series.backlash ? found.series.backlash->value : found.knob.backlash_turns;
  const KnobMotion motion =
      knob_motion(turn.value, found.arrived(), skyward_sense(found.knob, found.knob_sense_known), slack);
  const auto turns = [&](double amount) { return with_error({std::abs(amount), turn.sigma}); };
  std::string words = fmt::format("Turn the knob {} turns {}", turns(motion.first), way(motion.first > 0.0));
  if (motion.back != 0.0)
    words += fmt::format(", then {:.3f} back {}, so that {}", std::abs(motion.back), way(motion.back > 0.0),
                         found.knob_sense_known ? "the mirror is pushed up last" : "it arrives as in the last clip");
  else if (found.arrived() == 0.0 && !found.knob_sense_known)
    words += ", and arrive as in the clips";
  return words + ".";
}

std::string advice_words(const FoundFocus& found) {
  if (!found.series.trustworthy()) {
    std::string words = "Do not trust this series: ";
    for (std::size_t i = 0; i < found.series.doubts.size(); ++i) words += (i > 0 ? "; " : "") + found.series.doubts[i];
    return words + ".";
  }
  if (found.leave_alone())
    return fmt::format("Leave the knob alone: where the last clip was taken is {} turns from best focus, and {}.",
                       with_error({std::abs(found.to_turn().value), found.to_turn().sigma}),
                       std::abs(found.to_turn().value) < found.tolerance
                           ? fmt::format("{:.3f} turns cost nothing that shows", found.tolerance)
                           : "that is within the error");
  return turn_words(found);
}

}  // namespace

std::string focus_words(const FoundFocus& found) {
  std::string text = "position  clips  contrast that focus leaves\n";
  for (const auto& [position, at] : by_position(found))
    text += fmt::format("{:>8.3f}  {:>5}  {}\n", position, at.clips, with_error(at.measure()));
  const FocusSeries& s = found.series;
  text +=
      fmt::format("best focus at {} turns{}\n", with_error(s.best), s.backlash ? ", arriving counter-clockwise" : "");
  if (s.backlash)
    text += fmt::format("backlash {} turns: arriving clockwise the knob must go so much farther\n",
                        with_error(*s.backlash));
  text +=
      fmt::format("a turn moves focus by {} waves; {:.3f} turns either way are an eighth of a wave{}\n",
                  with_error(s.waves_per_turn), found.tolerance, found.rig_known ? " by rig.toml" : ", by these clips");
  return text + advice_words(found) + "\n";
}

std::string focus_json(const FoundFocus& found) {
  const FocusSeries& s = found.series;
  json j = {{"schema", "halfarc.focus/1"},
            {"points", json::array()},
            {"best", {{"position", s.best.value}, {"sigma", s.best.sigma}}},
            {"tolerance", found.tolerance},
            {"tolerance_source", found.rig_known ? "rig" : "clips"},
            {"waves_per_turn", {{"value", s.waves_per_turn.value}, {"sigma", s.waves_per_turn.sigma}}},
            {"to_turn", {{"value", found.to_turn().value}, {"sigma", found.to_turn().sigma}}},
            {"leave_alone", found.leave_alone()},
            {"words", advice_words(found)},
            {"trustworthy", s.trustworthy()},
            {"doubts", s.doubts}};
  for (const auto& [position, at] : by_position(found)) {
    const Measured<double> m = at.measure();
    j["points"].push_back({{"position", position}, {"clips", at.clips}, {"measure", m.value}, {"sigma", m.sigma}});
  }
  if (s.backlash) j["backlash"] = {{"turns", s.backlash->value}, {"sigma", s.backlash->sigma}};
  return j.dump(1, ' ', false, json::error_handler_t::replace) + "\n";
}

}  // namespace halfarc
