#include "halfarc/app/clip_advice.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

#include "halfarc/app/advice_basis.h"
#include "halfarc/app/prism_reading.h"
#include "halfarc/app/rounded.h"

namespace halfarc {
namespace {

using nlohmann::json;

constexpr Angle kLevelUnsure = Angle::deg(10.0);  // of a corrector levelled by eye (common practice)

Reading coma_of(const StarRing& ring, Utc utc) {
  Reading reading;
  reading.utc = utc;
  reading.what = Reads::coma;
  reading.x = ring.coma_x.value;
  reading.y = ring.coma_y.value;
  reading.scatter = {ring.coma_x.sigma * ring.coma_x.sigma, 0.0, ring.coma_y.sigma * ring.coma_y.sigma};
  return reading;
}

// Where the zenith lies on the image: by the clip, by an earlier one, by the levelled corrector. What came before tells
// which end is up when a disc does not.
Measured<Angle> zenith_of(const ClipCheck& check, const PrismPair& corrector,
                          const std::optional<Measured<Angle>>& earlier) {
  const Measured<Angle> usual = earlier.value_or(Measured<Angle>{roll_against(corrector.roll), kLevelUnsure});
  const auto& camera = check.geometry.camera;
  if (!camera) return usual;
  const bool turned = std::abs(wrap_signed(camera->zenith.value - usual.value).deg()) > 90.0;
  if (camera->half_turn_known || !turned) return camera->zenith;
  return {wrap_positive(camera->zenith.value + Angle::deg(180.0)), camera->zenith.sigma};
}

std::optional<Reading> split_of(const ClipCheck& check, const Rig& rig, const Measured<Angle>& zenith, Utc utc) {
  const auto& view = check.geometry.view;
  if (!check.colours || !check.scale || !view || !view->airmass) return std::nullopt;
  const ColoursOnSky split = colours_on_sky(*check.colours, *check.scale, zenith);
  Reading reading;
  reading.utc = utc;
  reading.what = Reads::colours;
  reading.x = split.across.value;
  reading.y = split.along.value;
  reading.scatter = {split.across.sigma * split.across.sigma, 0.0, split.along.sigma * split.along.sigma};
  reading.air = split_by_air(rig, view->body, view->site_height, view->altitude, *view->airmass);
  reading.target = std::string(sky::name_of(view->body));
  return reading;
}

Reading one_number(Reads what, const Measured<double>& m, Utc utc) {
  Reading reading;
  reading.utc = utc;
  reading.what = what;
  reading.x = m.value;
  reading.scatter = {m.sigma * m.sigma, 0.0, 0.0};
  return reading;
}

// Of all that the night has read, what these readings are about.
Result<NightAdvice> advice_on(const Rig& rig, const TrainSolution& train, const Tonight& tonight,
                              const std::vector<Reading>& readings) {
  AdviceBasis basis = advice_basis(rig, train);
  const auto told = [&](Reads what) {
    return std::any_of(readings.begin(), readings.end(), [&](const Reading& r) { return r.what == what; });
  };
  if (!told(Reads::coma)) basis.screws.reset();
  if (!told(Reads::colours)) basis.corrector.reset();
  if (!told(Reads::focus) && !told(Reads::defocus)) basis.waves_per_turn.reset();
  History history = tonight.history;
  history.readings.insert(history.readings.end(), readings.begin(), readings.end());
  return advise(basis, tonight.responses, history);
}

json entry(const Advice& advice, const Turned& turned) {
  json one = {{"control", std::string(name_of(turned.control))},
              {"turn", rounded(turned.amount, 4)},
              {"unit", std::string(unit_of(turned.control))},
              {"sigma", rounded(advice.sigma, 4)},
              {"gain", rounded(advice.gain.value, 4)},
              {"gain_sigma", rounded(advice.gain.sigma, 4)},
              {"test", advice.test},
              {"words", advice.words}};
  if (turned.amount != 0.0) {
    const std::string words = in_words(turned);
    one["direction"] = words.substr(words.rfind(' ') + 1);
  }
  return one;
}

}  // namespace

std::vector<Reading> advice_readings(const ClipCheck& check, const Rig& rig,
                                     const std::optional<Measured<Angle>>& zenith) {
  std::vector<Reading> readings;
  const Utc utc = check.mid().value_or(Utc());
  if (check.donut && check.donut->optics) readings.push_back(coma_of(*check.donut->optics, utc));
  if (!rig.corrector) return readings;
  if (auto split = split_of(check, rig, zenith_of(check, *rig.corrector, zenith), utc))
    readings.push_back(std::move(*split));
  return readings;
}

std::vector<Reading> advice_readings(const FoundFocus& found, Utc utc) {
  std::vector<Reading> readings;
  if (!found.series.trustworthy()) return readings;
  if (found.series.backlash) readings.push_back(one_number(Reads::backlash, *found.series.backlash, utc));
  readings.push_back(one_number(Reads::waves_per_turn, found.series.waves_per_turn, utc));
  readings.push_back(one_number(Reads::focus, found.to_turn(), utc));
  readings.back().arrived = found.arrived();
  return readings;
}

Result<NightAdvice> clip_advice(const Rig& rig, const TrainSolution& train, const ClipCheck& check,
                                const Tonight& tonight) {
  return advice_on(rig, train, tonight, advice_readings(check, rig, tonight.zenith));
}

Result<NightAdvice> focus_advice(const Rig& rig, const TrainSolution& train, const FoundFocus& found, Utc utc,
                                 const Tonight& tonight) {
  return advice_on(rig, train, tonight, advice_readings(found, utc));
}

ClipAdviser clip_adviser(Rig rig, TrainSolution train, Tonight tonight) {
  return [rig = std::move(rig), train = std::move(train), tonight = std::move(tonight)](const ClipCheck& check) {
    Result<NightAdvice> night = clip_advice(rig, train, check, tonight);
    return night ? std::move(night->advice) : std::vector<Advice>();
  };
}

std::string advice_list_json(std::span<const Advice> advice) {
  json list = json::array();
  for (const Advice& one : advice) {
    if (one.leave_alone()) list.push_back(entry(one, {one.control, 0.0}));
    for (const Turned& turned : one.turns) list.push_back(entry(one, turned));
  }
  return list.dump(-1, ' ', false, json::error_handler_t::replace);
}

}  // namespace halfarc
