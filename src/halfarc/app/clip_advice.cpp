#include "halfarc/app/clip_advice.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

#include "halfarc/air/dispersion.h"
#include "halfarc/app/advice_basis.h"
#include "halfarc/app/rounded.h"
#include "halfarc/sky/refraction.h"

namespace halfarc {
namespace {

using nlohmann::json;

Reading coma_of(const StarRing& ring, Utc utc) {
  Reading reading;
  reading.utc = utc;
  reading.what = Reads::coma;
  reading.x = ring.coma_x.value;
  reading.y = ring.coma_y.value;
  reading.scatter = {ring.coma_x.sigma * ring.coma_x.sigma, 0.0, ring.coma_y.sigma * ring.coma_y.sigma};
  return reading;
}

std::optional<Reading> split_of(const ClipCheck& check, const Rig& rig, const SkyView& sky, Utc utc) {
  if (!check.colours || !check.scale || !rig.corrector) return std::nullopt;
  const ColourShift& c = *check.colours;
  const PixelOffset apart = c.blue_minus_green - c.red_minus_green;
  const double per_px = check.scale->arcsec_per_px(), per_px2 = per_px * per_px;
  const Scatter scatter{(c.red_sigma.x * c.red_sigma.x + c.blue_sigma.x * c.blue_sigma.x) * per_px2, 0.0,
                        (c.red_sigma.y * c.red_sigma.y + c.blue_sigma.y * c.blue_sigma.y) * per_px2};
  const Angle levelled = roll_against(rig.corrector->roll);
  Reading reading = colours_reading(utc, check.scale->sky(apart), scatter, sky.zenith.value_or(levelled));
  const auto planes = colour_planes(rig);
  reading.air =
      dispersion(mean_wavelength(planes[2]), mean_wavelength(planes[0]), sky::usual_weather(Length()), sky.altitude);
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

std::vector<Reading> advice_readings(const ClipCheck& check, const Rig& rig, const std::optional<SkyView>& sky) {
  std::vector<Reading> readings;
  const Utc utc = check.mid().value_or(Utc());
  if (check.donut && check.donut->optics) readings.push_back(coma_of(*check.donut->optics, utc));
  if (!sky) return readings;
  if (auto split = split_of(check, rig, *sky, utc)) readings.push_back(std::move(*split));
  return readings;
}

std::vector<Reading> advice_readings(const FoundFocus& found, Utc utc) {
  std::vector<Reading> readings;
  if (!found.series.trustworthy()) return readings;
  if (found.series.backlash) readings.push_back(one_number(Reads::backlash, *found.series.backlash, utc));
  readings.push_back(one_number(Reads::waves_per_turn, found.series.waves_per_turn, utc));
  readings.push_back(one_number(Reads::focus, found.to_turn(), utc));
  return readings;
}

Result<NightAdvice> clip_advice(const Rig& rig, const TrainSolution& train, const ClipCheck& check,
                                const Tonight& tonight, const std::optional<SkyView>& sky) {
  return advice_on(rig, train, tonight, advice_readings(check, rig, sky));
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
